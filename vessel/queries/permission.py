"""Who may do what aboard: one table for pages and API, read by roles of a vessel."""

from django.contrib.auth.models import AbstractBaseUser, AnonymousUser

from vessel.models import Membership, Role

EVERYBODY = frozenset(Role)
ABOARD = frozenset({Role.OWNER, Role.SKIPPER, Role.CREW})
IN_COMMAND = frozenset({Role.OWNER, Role.SKIPPER})
OWNER_ONLY = frozenset({Role.OWNER})

# deed: the roles that may do it. A deed that is not here may be done by nobody.
TABLE: dict[str, frozenset[Role]] = {
    "read": EVERYBODY,
    "report": ABOARD,  # a defect, a reading, a line in the log
    "work": ABOARD,  # mend, prove, start and finish jobs
    "mend critical": IN_COMMAND,  # close a defect that a function she needs leans on; crew propose it
    "people": ABOARD,  # who sails, what they can do and when they are aboard
    "own stay": ABOARD,  # one's own stays and rest; those of others are planned
    "plan": IN_COMMAND,  # legs, people, crew of a leg, services, stock
    "follow": ABOARD,  # departed, position, arrived
    "decide": IN_COMMAND,  # go or no-go, conditions accepted, waivers
    "private": IN_COMMAND,  # fitness, rest and notes of people, the contact's address, private lines of the history
    "change vessel": IN_COMMAND,  # particulars, equipment, functions
    "set limits": OWNER_ONLY,
    "members": OWNER_ONLY,
    "hand over": OWNER_ONLY,
    "feeds": OWNER_ONLY,  # the addresses that forecasts are fetched from
}


def may(role: str, deed: str) -> bool:
    """Whether a role may do a deed; an unknown role or deed may not."""
    return role in TABLE.get(deed, frozenset())


def membership_of(user: AbstractBaseUser | AnonymousUser, vessel_id: int | None = None) -> Membership | None:
    """The person's membership with its vessel: of the vessel asked for, else the oldest one. One query."""
    if not user.is_authenticated:
        return None
    rows = Membership.objects.filter(user_id=user.pk).select_related("vessel").order_by("pk")
    return (rows if vessel_id is None else rows.filter(vessel_id=vessel_id)).first()
