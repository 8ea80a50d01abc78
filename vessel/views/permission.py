"""The door of every page: who is not aboard, or may not do the deed, is told so."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase

from vessel.models import Membership
from vessel.queries.permission import TABLE, may, membership_of

P = ParamSpec("P")
Page = Callable[Concatenate[HttpRequest, Membership, P], HttpResponseBase]
Door = Callable[Concatenate[HttpRequest, P], HttpResponseBase]

NOT_ABOARD = "No vessel is shared with you yet. Ask her owner to add you."
NOT_ALLOWED = "As {role} you may look at this, but not change it. Nothing was changed."


def needs(deed: str) -> Callable[[Page[P]], Door[P]]:
    """Opens a page to the roles the table names for a deed; the page gets the membership as second argument.

    Objects of another vessel are not the door's matter: a page finds them through `aboard.vessel` and gives 404.
    """
    if deed not in TABLE:
        raise KeyError(deed)

    def door(page: Page[P]) -> Door[P]:
        @wraps(page)
        def checked(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            aboard = membership_of(request.user)
            if aboard is None:
                raise PermissionDenied(NOT_ABOARD)
            if not may(aboard.role, deed):
                raise PermissionDenied(NOT_ALLOWED.format(role=aboard.get_role_display()))
            return page(request, aboard, *args, **kwargs)

        checked.deed = deed  # type: ignore[attr-defined]  # a test reads it of every route
        return checked

    return door
