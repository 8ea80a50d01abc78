"""Whether anybody can sign in yet, and whether a one-time code is waiting to be used."""

from datetime import datetime

from django.contrib.auth import get_user_model
from django.contrib.auth.hashers import UNUSABLE_PASSWORD_PREFIX
from django.contrib.auth.models import User

from vessel.models import Membership, Role
from vessel.models.setup_code import SetupCode


def somebody_can_sign_in() -> bool:
    """Whether any account has a password. One query."""
    accounts = get_user_model().objects.filter(is_active=True).exclude(password="")
    return accounts.exclude(password__startswith=UNUSABLE_PASSWORD_PREFIX).exists()


def code_is_waiting(*, at: datetime) -> bool:
    """Whether a code has been printed that can still be used. One query."""
    return SetupCode.objects.filter(used_at=None, made_at__lte=at, expires_at__gt=at).exists()


def owners() -> list[User]:
    """The accounts that own a vessel, oldest first. One query."""
    ids = Membership.objects.filter(role=Role.OWNER).values("user_id")
    return list(User.objects.filter(pk__in=ids, is_active=True).order_by("pk"))
