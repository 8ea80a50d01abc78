"""Whose token is it, and what may it do?"""

from datetime import datetime

from vessel.models import ApiToken, Scope
from vessel.queries.permission import may

# scope: the deeds a token may do, where the role of its person may do them too. Decisions and waivers are a person's
# own; what is private and who is aboard stay behind the sign-in.
DEEDS = {
    Scope.READ: frozenset({"read"}),
    Scope.WRITE: frozenset({"read", "report", "work", "plan", "change vessel"}),
}


def token_of_digest(digest: str, at: datetime) -> ApiToken | None:
    """The token of a secret's SHA-256, with its membership, person and vessel; None alike for one that never was, has
    run out, was revoked, or whose person may not sign in any more. One query."""
    rows = ApiToken.objects.select_related("membership__user", "membership__vessel")
    good = rows.filter(revoked_at=None, expires_at__gt=at, membership__user__is_active=True)
    return good.filter(digest=digest).first()


def token_may(token: ApiToken, deed: str) -> bool:
    """Whether both the scope of the token and the role of its person allow the deed."""
    return deed in DEEDS.get(Scope(token.scope), frozenset()) and may(token.membership.role, deed)
