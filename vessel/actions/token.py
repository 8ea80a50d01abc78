"""Make, use and revoke tokens for programs. The secret is shown once and never kept."""

import hashlib
import secrets
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Q

from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.version import check
from vessel.errors import BadInput, Refused
from vessel.models import ApiToken, Membership

MARK = "legw_"  # so that a secret that got out can be recognised
SHOWN = 11  # letters of the secret that are kept to tell tokens apart: the mark and 36 of its 256 bits
KEEPS = timedelta(days=365)
LONGEST = timedelta(days=2 * 365)
USE_NOTED_EVERY = timedelta(minutes=10)


@transaction.atomic
def make_token(
    *, membership: Membership, name: str, scope: str, by: By, at: datetime, keeps: timedelta = KEEPS
) -> tuple[ApiToken, str]:
    """A token for the person of this membership, and its secret: show it once. Raises BadInput."""
    if not timedelta(0) < keeps <= LONGEST:
        raise BadInput(f"A token can keep for 1 to {LONGEST.days} days. No token was made.")
    secret = MARK + secrets.token_urlsafe(32)
    row = ApiToken(
        membership=membership,
        name=name.strip(),
        scope=scope,
        prefix=secret[:SHOWN],
        digest=digest_of(secret),
        made_at=at,
        expires_at=at + keeps,
    )
    check(row)
    row.save(force_insert=True)
    _tell(
        row,
        f"A token for a program was made: {row}, {row.get_scope_display()}, until {row.expires_at:%d %B %Y}.",
        by,
        at,
    )
    return row, secret


@transaction.atomic
def revoke_token(*, token_id: int, by: By, at: datetime) -> ApiToken:
    """The token is refused from now on. Raises Refused when it was revoked already."""
    row = ApiToken.objects.select_for_update(of=("self",)).select_related("membership__vessel").get(pk=token_id)
    if row.revoked_at is not None:
        raise Refused(f"The token {row} was revoked on {row.revoked_at:%d %B %Y} already; nothing was changed.")
    row.revoked_at = at
    row.save(update_fields=["revoked_at"])
    _tell(row, f"A token for a program was revoked: {row}.", by, at)
    return row


def note_use(*, token: ApiToken, at: datetime) -> None:
    """Keep when the token was last used, to ten minutes, so that reading does not write each time."""
    if token.last_used_at is None or at - token.last_used_at >= USE_NOTED_EVERY:
        stale = Q(last_used_at=None) | Q(last_used_at__lt=at)
        ApiToken.objects.filter(stale, pk=token.pk).update(last_used_at=at)


def digest_of(secret: str) -> str:
    """SHA-256 of a secret as hex digits: enough for 256 random bits, which can be neither guessed nor listed."""
    return hashlib.sha256(secret.encode()).hexdigest()


def _tell(row: ApiToken, what: str, by: By, at: datetime) -> None:
    record(vessel=row.membership.vessel, what=what, by=by, at=at, noun="token", noun_key=row.prefix)
