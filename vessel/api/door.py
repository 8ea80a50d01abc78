"""The door of every address of the API: who is it, what may they do, how often; and answers with an ETag."""

import hashlib
from collections.abc import Mapping
from typing import Any, ClassVar, TypeVar

from django.db.models import Model, QuerySet
from django.utils.http import parse_etags
from rest_framework.exceptions import NotFound, PermissionDenied
from rest_framework.permissions import SAFE_METHODS
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.throttling import ScopedRateThrottle
from rest_framework.views import APIView

from vessel.api.fields import Strict
from vessel.models import ApiToken, Membership
from vessel.queries.permission import may, membership_of
from vessel.queries.token import token_may

NOT_ABOARD = "No vessel is shared with you yet. Ask her owner to add you."
TOKEN_MAY_NOT = "This token is for {scope}; as {role} its person may not do this with it."  # noqa: S105 a sentence
ROLE_MAY_NOT = "As {role} you may not do this."
READ_ONLY = "Signed in on the pages, you may read here but not write. Programs write with a token of their own."
PAGING = frozenset({"cursor", "page_size"})
Row = TypeVar("Row", bound=Model)


class BoatView(APIView):
    """One address. `deeds` names, for each method it answers, the deed of the permission table that it takes.

    `aboard` is the membership the request acts under: find everything through `self.aboard.vessel`, so that what
    belongs to another vessel is not found. Signed in on the pages one may read; writing takes a token.
    """

    http_method_names = ["get", "head", "post"]  # noqa: RUF012 the library's own form
    throttle_classes = [ScopedRateThrottle]  # noqa: RUF012 the library's own form
    deeds: ClassVar[Mapping[str, str]] = {"GET": "read"}
    budget: ClassVar[str] = "read"
    throttle_scope: str
    aboard: Membership

    def check_permissions(self, request: Request) -> None:
        """Raises NotAuthenticated or PermissionDenied; a method this address does not know is refused later, as 405."""
        super().check_permissions(request)
        deed = self.deeds.get("GET" if request.method == "HEAD" else str(request.method))
        token = request.auth if isinstance(request.auth, ApiToken) else None
        aboard = token.membership if token else membership_of(request.user)
        if aboard is None:
            raise PermissionDenied(NOT_ABOARD)
        self.aboard = aboard
        if deed is not None:
            _check(deed, aboard, token, request)

    def check_throttles(self, request: Request) -> None:
        """Reading and writing have budgets of their own."""
        self.throttle_scope = self.budget if request.method in SAFE_METHODS else "write"
        super().check_throttles(request)

    def finalize_response(self, request: Any, response: Any, *args: Any, **kwargs: Any) -> Any:
        """What is answered is one person's: kept by nobody else, asked for again each time."""
        answer = super().finalize_response(request, response, *args, **kwargs)
        answer.headers.setdefault("Cache-Control", "no-store" if answer.status_code >= 400 else "private, no-cache")
        answer.headers["Vary"] = "Accept, Authorization, Cookie"
        return answer


def _check(deed: str, aboard: Membership, token: ApiToken | None, request: Request) -> None:
    role = aboard.get_role_display()
    if token is None and request.method not in SAFE_METHODS:
        raise PermissionDenied(READ_ONLY)
    if token is not None and not token_may(token, deed):
        raise PermissionDenied(TOKEN_MAY_NOT.format(scope=token.get_scope_display(), role=role))
    if not may(aboard.role, deed):
        raise PermissionDenied(ROLE_MAY_NOT.format(role=role))


def one_of(rows: QuerySet[Row], pk: int) -> Row:
    """The row of this number among those the person may see. Raises NotFound alike for another's and for none."""
    row = rows.filter(pk=pk).first()
    if row is None:
        raise NotFound
    return row


def asked(request: Request, kind: type[Strict]) -> dict[str, Any]:
    """What the address asks for after `?`, checked. Raises ValidationError for what is not known or said twice."""
    typed = {name: values[0] if len(values) == 1 else values for name, values in request.query_params.lists()}
    page = {name for name in PAGING if isinstance(typed.get(name), str)}
    form = kind(data={name: value for name, value in typed.items() if name not in page})
    form.is_valid(raise_exception=True)
    return dict(form.validated_data)


def with_etag(request: Request, data: Mapping[str, Any]) -> Response:
    """The answer under an ETag of its text, or 304 without one where the asker has it already."""
    etag = f'"{hashlib.sha256(JSONRenderer().render(data)).hexdigest()[:32]}"'
    seen = [known.removeprefix("W/") for known in parse_etags(request.headers.get("If-None-Match", ""))]
    same = etag in seen or "*" in seen
    return Response(None if same else data, status=304 if same else 200, headers={"ETag": etag})
