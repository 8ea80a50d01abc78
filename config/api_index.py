"""The front page of the API: where everything is."""

from django.urls import reverse
from drf_spectacular.utils import extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

# What is there, by the name of its address.
PLACES = {"legs": "api_legs", "defects": "api_defects", "description": "api_schema", "page": "api_docs"}


@extend_schema(exclude=True)
class Index(APIView):
    """Links to what is there, for anybody: nothing of a vessel is told."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    http_method_names = ["get", "head"]  # noqa: RUF012 the library's own form

    def get(self, request: Request) -> Response:
        return Response({word: request.build_absolute_uri(reverse(name)) for word, name in PLACES.items()})
