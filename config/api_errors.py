"""Whatever goes wrong in the API is answered in one shape, problem details (RFC 9457): what happened, what was kept,
what to do."""

import logging
from collections.abc import Iterator, Mapping
from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import InterfaceError, OperationalError
from django.http import Http404
from rest_framework import exceptions, serializers
from rest_framework.response import Response
from rest_framework.views import set_rollback

from vessel.actions.given_answer import KeyUsedOtherwise
from vessel.errors import BadInput, Refused, StaleVersion

log = logging.getLogger(__name__)
MEDIA_TYPE = "application/problem+json"
RETRY_AFTER_S = 5
UNCHANGED = "Nothing was changed."

# refusals of our own, the narrowest first, and their status
STATUS_OF: tuple[tuple[type[Refused], int], ...] = (
    (KeyUsedOtherwise, 422),
    (StaleVersion, 412),
    (BadInput, 400),
    (Refused, 409),
)
# status: what happened where nothing narrower is known, and what to do
WORDS: dict[int, tuple[str, str]] = {
    400: ("The request cannot be read as it is.", "Put right what is named here and send it again."),
    401: ("No sign-in and no token came with the request.", "Send a token in the header Authorization: Bearer ..."),
    403: ("You may not do this.", "Ask the owner of the vessel for a wider role or token."),
    404: (
        "There is nothing at this address that you may see.",
        "Check the number; every address ends in a stroke (/).",
    ),
    405: ("This address does not know that method.", "Use one of those in the header Allow."),
    406: ("This address answers in JSON only.", "Ask for application/json."),
    409: ("This cannot be done as things stand.", "Read why above, put it right and send it again."),
    412: ("Somebody else changed it meanwhile.", "Read it again, then send your change to what stands now."),
    413: ("The request is too large.", "Send less at once."),
    415: ("The request is not JSON.", "Send it as application/json."),
    422: ("The request cannot be done under this key.", "Send it under a new Idempotency-Key."),
    429: ("Too many requests in a short time.", "Wait for as many seconds as Retry-After says."),
    500: ("Something went wrong in the program; it was written to the log.", "Try again; if it stays, tell the owner."),
    503: ("The database cannot be reached just now.", "Try again after as many seconds as Retry-After says."),
}


class FieldProblem(serializers.Serializer[Any]):
    field = serializers.CharField(help_text="name of the field, with dots for what lies inside")
    says = serializers.CharField()


class Problem(serializers.Serializer[Any]):
    """Problem details as RFC 9457 has them, with what was kept and what to do."""

    type = serializers.CharField(help_text="about:blank: the status says what kind it is")
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField(help_text="what happened")
    kept = serializers.CharField(help_text="what was kept")
    to_do = serializers.CharField(help_text="what to do")
    instance = serializers.CharField(help_text="the address that was asked for")
    errors = FieldProblem(many=True, required=False)  # type: ignore[assignment]  # the base uses the name too


def answer_problem(error: Exception, context: Mapping[str, Any]) -> Response:
    """The answer to any exception of a view; one nobody foresaw is logged and told without its inside."""
    set_rollback()
    status, detail, errors = _told(error)
    if status >= 500:
        log.error("The API failed: %s", type(error).__name__, exc_info=error)
    happened, to_do = WORDS.get(status, WORDS[400])
    request = context.get("request")
    body = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail or happened,
        "kept": UNCHANGED if status < 500 else "What was saved before stands; this request was not done.",
        "to_do": to_do,
        "instance": request.path if request is not None else "",
        **({"errors": errors} if errors else {}),
    }
    return Response(body, status=status, headers=_headers(error, status), content_type=MEDIA_TYPE)


def _told(error: Exception) -> tuple[int, str, list[dict[str, str]]]:
    """Status, what happened in words where the error knows it, and what is wrong with each field."""
    if isinstance(error, exceptions.ValidationError):
        errors = [{"field": field, "says": says} for field, says in _fields(error.detail)]
        return 400, " ".join(_sentence(**each) for each in errors), errors
    if isinstance(error, Refused):
        return next(status for kind, status in STATUS_OF if isinstance(error, kind)), str(error), []
    if isinstance(error, Http404 | exceptions.NotFound):
        return 404, "", []  # alike for what is another's and for what never was
    if isinstance(error, PermissionDenied):
        return 403, str(error), []
    if isinstance(error, exceptions.NotAuthenticated | exceptions.Throttled):
        return error.status_code, "", []
    if isinstance(error, exceptions.APIException):
        return error.status_code, str(error.detail), []
    return (503 if isinstance(error, OperationalError | InterfaceError) else 500), "", []


def _fields(detail: Any, inside: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(detail, dict):
        for name, below in detail.items():
            yield from _fields(below, f"{inside}.{name}" if inside else str(name))
    elif isinstance(detail, list):
        for below in detail:
            yield from _fields(below, inside)
    else:
        yield ("" if inside == "non_field_errors" else inside), str(detail)


def _sentence(field: str, says: str) -> str:
    return f"{field}: {says.rstrip('.')}." if field else f"{says.rstrip('.')}."


def _headers(error: Exception, status: int) -> dict[str, str]:
    headers = {}
    if scheme := getattr(error, "auth_header", None):
        headers["WWW-Authenticate"] = str(scheme)
    if (wait := getattr(error, "wait", None)) is not None:
        headers["Retry-After"] = str(max(1, round(wait)))
    if status == 503:
        headers["Retry-After"] = str(RETRY_AFTER_S)
    return headers
