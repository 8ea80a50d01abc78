"""A leg in the database with everything a facts document says of it."""

from datetime import UTC, datetime
from typing import Any

import msgspec

from readiness.models import ConditionMet, Harbour, Leg, LegCrew, LimitSet, Waiver
from readiness.queries.facts import facts_for
from readiness.rules.facts import Facts
from readiness.rules.facts_people import Policy
from readiness.rules.limits import Limits
from readiness.rules.words_of_trade import Skill
from tests.factories.stored_boat import BY, known, stored_gear, stored_stores, stored_vessel
from tests.factories.stored_water import stored_forecast, stored_leg, stored_stations, stored_warnings
from vessel.models import Paper, Vessel
from vessel.models import Person as PersonRow

COLUMN_OF = {
    Skill.HELM: "can_helm",
    Skill.NIGHT: "can_night",
    Skill.WATCH_LEADER: "can_lead",
    Skill.LINES: "can_lines",
    Skill.ENGINE: "can_engine",
    Skill.RADIO: "can_radio",
    Skill.FIRST_AID: "can_first_aid",
}


def stored(facts: Facts, pasts: int = 0) -> Leg:
    """The leg of the facts, stored with boat, people and water; `pasts` as in stored_boat."""
    vessel = stored_vessel(facts.boat)
    items = stored_gear(facts.boat, vessel, pasts)
    stored_stores(facts.boat, vessel, items, pasts)
    leg = stored_leg(facts, vessel, stored_stations(facts, vessel))
    for number, person in enumerate(facts.people, start=1):
        LegCrew.objects.create(leg=leg, person=_person(person, vessel, number), skipper=person.skipper)
    for policy in facts.policies or ():
        _policy(policy, vessel)
    if facts.water.forecast:
        stored_forecast(facts.water.forecast, facts, vessel)
    if facts.water.warnings is not None:
        stored_warnings(facts.water.warnings, vessel)
    _overlay(facts, leg)
    return leg


def _person(person: Any, vessel: Vessel, number: int) -> PersonRow:
    row = PersonRow.objects.create(
        vessel=vessel, name=person.name, token=f"crew-{number:06d}", fit={True: "yes", False: "no"}.get(person.fit),
        jacket_size=person.jacket_size, **{COLUMN_OF[skill]: True for skill in person.skills},
    )  # fmt: skip
    for span in person.aboard:
        row.availabilities.create(
            aboard_from=span.start, aboard_until=span.end, must_leave_at=person.must_leave_at,
            free_to_stay=person.free_to_stay, answer="yes" if person.confirmed else "not_known",
            confirmed_at=span.start if person.confirmed else None,
        )  # fmt: skip
    return row


def _policy(policy: Policy, vessel: Vessel) -> None:
    Paper.objects.create(
        vessel=vessel, kind="policy", name=policy.name, valid_from=policy.from_on, valid_until=policy.through_on,
        valid_until_precision="day" if policy.through_on else None,
        area=msgspec.structs.asdict(policy.area) if policy.area else None, months=list(policy.months),
        night_covered=policy.night_covered, single_handed_covered=policy.single_handed_covered,
        conditions=[
            {"text": clause.text, "due_on": clause.due_on and clause.due_on.isoformat(), "met": clause.met}
            for clause in policy.clauses
        ],
    )  # fmt: skip


def _overlay(facts: Facts, leg: Leg) -> None:
    unset = msgspec.structs.asdict(Limits())
    values = {name: value for name, value in msgspec.structs.asdict(facts.limits).items() if value != unset[name]}
    LimitSet.objects.create(vessel=leg.vessel, number=1, values=values, set_at=facts.judged_at, by=BY)
    tokens = dict(leg.crew.values_list("name", "token"))
    for waiver in facts.waivers:
        stated = msgspec.structs.asdict(waiver)
        stated |= {name: [tokens[person] for person in stated[name]] for name in ("told", "crew")}
        stated |= {name: known(stated[name]) for name in ("value", "limit", "lapses_at_value")}
        Waiver.objects.create(leg=leg, engine_version="1", **stated)
    for met in facts.met:
        ConditionMet.objects.create(leg=leg, **msgspec.structs.asdict(met))


def bare_leg() -> Leg:
    """A leg of a boat of which only the name is known, between two harbours of which only the place is."""
    vessel = Vessel.objects.create(name="Tallow Wren")
    ends = [
        Harbour.objects.create(vessel=vessel, key=key, name=key.title(), zone="UTC", lat_deg=46.5, lon_deg=lon_deg)
        for key, lon_deg in (("ostrel", -15.0), ("thole", -14.0))
    ]
    leg = Leg.objects.create(
        vessel=vessel, key="leg", name="Leg", planned_at=datetime(2027, 5, 15, 6, tzinfo=UTC), departure=ends[0],
        arrival=ends[1],
    )  # fmt: skip
    for number, end in enumerate(ends, start=1):
        leg.points.create(number=number, name=end.name, lat_deg=end.lat_deg, lon_deg=end.lon_deg)
    return leg


def again(leg: Leg, facts: Facts) -> Facts:
    """The facts gathered for the departures of others."""
    return facts_for(leg_id=leg.pk, at=facts.judged_at, departures=facts.departures)
