"""Make and redeem one-time codes. Whoever reads one stands at the boat's own computer: that is the proof."""

import hashlib
import secrets
from datetime import datetime, timedelta

from django.db import transaction

from vessel.errors import Refused
from vessel.models.setup_code import SetupCode

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # no I, L, O, U: read aloud and typed by cold hands
LETTERS, GROUP = 12, 4
KEEPS = timedelta(minutes=30)
MISREAD = str.maketrans({"O": "0", "I": "1", "L": "1", "-": None, " ": None, "–": None, "‑": None})


class WrongCode(Refused):
    """The code was never printed, has run out or was used."""


@transaction.atomic
def new_code(*, at: datetime) -> str:
    """A fresh code for the first set-up or a lost password, "7K3M-Q2XW-9PRD"; earlier ones are void.

    It works once and for thirty minutes. Print it where only somebody aboard can read it.
    """
    SetupCode.objects.filter(used_at=None).delete()
    text = "".join(secrets.choice(ALPHABET) for _ in range(LETTERS))
    SetupCode.objects.create(digest=digest_of(text), made_at=at, expires_at=at + KEEPS)
    return "-".join(text[start : start + GROUP] for start in range(0, LETTERS, GROUP))


@transaction.atomic
def redeem_code(*, code: str, at: datetime) -> None:
    """Use a code up, in the transaction of what it is used for. Raises WrongCode, and then nothing was changed."""
    waiting = SetupCode.objects.filter(used_at=None, made_at__lte=at, expires_at__gt=at)
    if not waiting.filter(digest=digest_of(code)).update(used_at=at):
        raise WrongCode(
            "This code is not the one printed last, or its 30 minutes are over. What you typed was kept."
            " Print a new one on the boat's computer: manage.py sign_in_code"
        )


def digest_of(code: str) -> str:
    """SHA-256 of a code as it was meant: capitals, no blanks or strokes, O as 0, I and L as 1."""
    return hashlib.sha256(code.upper().translate(MISREAD).encode()).hexdigest()
