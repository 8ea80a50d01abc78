"""Lists by cursor: what comes in meanwhile neither shifts a page nor shows a row twice."""

from typing import Any

from django.core.exceptions import ValidationError
from rest_framework.exceptions import NotFound
from rest_framework.pagination import CursorPagination
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import BaseSerializer

from vessel.errors import BadInput

LARGEST = 200


class Pages(CursorPagination):
    """`?page_size=` up to 200, `?cursor=` as the addresses under `next` and `previous` hold it."""

    page_size = 50
    page_size_query_param = "page_size"
    max_page_size = LARGEST

    def get_page_size(self, request: Request) -> int:
        typed = request.query_params.get("page_size", str(self.page_size))
        if not (typed.isascii() and typed.isdecimal() and len(typed) <= 3 and 1 <= int(typed) <= LARGEST):
            raise BadInput(f"page_size must be a number from 1 to {LARGEST}.")
        return int(typed)

    def paginate_queryset(self, queryset: Any, request: Request, view: Any = None) -> Any:
        try:
            return super().paginate_queryset(queryset, request, view)
        except (NotFound, ValidationError, ValueError, OverflowError) as error:
            raise BadInput("This cursor is none of ours. Start again without one.") from error


def paged(rows: Any, request: Request, ordering: tuple[str, ...], kind: type[BaseSerializer[Any]]) -> Response:
    """One page of the rows, ordered by these columns, the last of them unique."""
    pages = Pages()
    pages.ordering = ordering
    found = pages.paginate_queryset(rows, request)
    return pages.get_paginated_response(kind(found, many=True).data)
