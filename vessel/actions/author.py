"""Who did it, as history says it: a token that stays, never a name.

The name that goes with an account's token stands outside the chain and can be erased.
"""

import secrets

from django.contrib.auth.models import AbstractBaseUser, AnonymousUser

from vessel.errors import Refused
from vessel.models import Membership, Person, Pseudonym

By = AbstractBaseUser | AnonymousUser | Person | str


def token_of(*, by: By, vessel_id: int) -> str:
    """The token of whoever does it; made at the first deed of an account.

    A text is taken as it is: a machine's part ("timetable", "import") or a token already. Refused for nobody.
    """
    if isinstance(by, str) and by:
        return by
    if isinstance(by, Person):
        return by.token
    account_id = getattr(by, "pk", None)
    if account_id is None:
        raise Refused("Nobody is signed in, so nothing was written. Sign in and try again.")
    pseudonym, _ = Pseudonym.objects.get_or_create(
        vessel_id=vessel_id, account_id=account_id, defaults=_fresh(by, vessel_id, account_id)
    )
    return pseudonym.token


def new_token(part: str) -> str:
    """A token nobody had: the part aboard and six random digits of base 16."""
    return f"{part}-{secrets.token_hex(3)}"


def _fresh(by: By, vessel_id: int, account_id: int) -> dict[str, str]:
    role = Membership.objects.filter(vessel_id=vessel_id, user_id=account_id).values_list("role", flat=True).first()
    return {"token": new_token(role or "guest"), "name": str(by)}
