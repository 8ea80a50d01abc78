"""The description of the API for programs, a page to read it, and an answer for addresses that are none."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe
from drf_spectacular.utils import extend_schema
from rest_framework.exceptions import NotFound
from rest_framework.permissions import AllowAny
from rest_framework.response import Response
from rest_framework.views import APIView


@require_safe
def page(request: HttpRequest) -> HttpResponse:
    """The description as a page, for who is signed in; all it needs is served from here."""
    return render(request, "vessel/api/page.html")


@extend_schema(exclude=True)
class Nowhere(APIView):
    """Every other address below the API: 404 as the API says it, without asking who it is."""

    authentication_classes = ()
    permission_classes = (AllowAny,)

    def get(self, *_: object, **__: object) -> Response:
        raise NotFound

    post = put = patch = delete = options = get
