"""The first owner and the first vessel, and a new password for an owner, each against a one-time code."""

from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction
from django.utils.module_loading import import_string

from vessel.actions.history import record
from vessel.actions.setup_code import redeem_code
from vessel.actions.version import check
from vessel.errors import Refused
from vessel.models import Membership, Role, Vessel
from vessel.queries.setup_code import owners


class NotAnOwner(Refused):
    """The name given is not the sign-in name of an owner."""


class AlreadySetUp(Refused):
    """There is a vessel already."""


@dataclass(frozen=True, slots=True)
class Particulars:
    """The few that are asked first; None is "not known" and stays so."""

    name: str
    home_port: str
    home_zone: str
    loa_m: float | None
    beam_m: float | None
    draught_m: float | None
    air_draught_m: float | None


@transaction.atomic
def set_up_vessel(
    *, code: str, username: str, password: str, particulars: Particulars, with_starting_list: bool, at: datetime
) -> Membership:
    """Create the first account, the vessel, the ownership and, if asked, the starting list; the code is then used up.

    The list comes from an app above this one, so it is named in the settings, like the chapters of the handover.
    """
    if Vessel.objects.exists():
        raise AlreadySetUp("There is a vessel already, so nothing was created. Sign in, or ask for a new password.")
    redeem_code(code=code, at=at)
    user = User(username=username)
    user.set_password(password)
    check(user)
    user.save()
    vessel = Vessel(
        name=particulars.name,
        home_port=particulars.home_port,
        home_zone=particulars.home_zone,
        loa_m=particulars.loa_m,
        beam_m=particulars.beam_m,
        draught_m=particulars.draught_m,
        air_draught_m=particulars.air_draught_m,
    )
    check(vessel)
    vessel.save()
    aboard = Membership.objects.create(user=user, vessel=vessel, role=Role.OWNER)
    record(vessel=vessel, what=f"{vessel.name} was entered.", by=user, at=at, noun="vessel", noun_key=str(vessel.pk))
    if with_starting_list:
        import_string(settings.STARTING_LIST)(vessel=vessel, by=user, at=at)
    return aboard


@transaction.atomic
def set_owner_password(*, code: str, username: str, password: str, at: datetime) -> User:
    """Give an owner a password, the first one or a new one; the code is then used up and other sign-ins end."""
    user = next((owner for owner in owners() if owner.username == username), None)
    if user is None:
        raise NotAnOwner(f"“{username}” is not the sign-in name of an owner. Nothing was changed.")
    redeem_code(code=code, at=at)
    user.set_password(password)
    user.save(update_fields=["password"])
    for aboard in user.memberships.filter(role=Role.OWNER).select_related("vessel"):
        told = "An owner's password was set with a code from the boat's computer."
        record(vessel=aboard.vessel, what=told, by=user, at=at, noun="account", noun_key=aboard.role)
    return user
