"""The facts of one leg, gathered from the boat, the work on her and the water: the one place where the apps meet.

The number of queries does not grow with defects, equipment, readings, log lines or anything else.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

import msgspec
from django.db.models import CharField, DateTimeField, F, FloatField, JSONField, Value
from django.db.models.functions import Cast

from readiness.models import ConditionMet, Waiver
from readiness.queries.facts_boat import boat_of
from readiness.queries.facts_gear import with_tolerance
from readiness.queries.facts_leg import leg_row, way_of
from readiness.queries.facts_people import contact_of, crew_of, policies_of
from readiness.queries.facts_water import water_of, with_last_entry
from readiness.rules.facts import FORMAT, Facts, Met, counts_of
from readiness.rules.facts import Waiver as WaiverFact
from readiness.rules.facts_water import Departures
from readiness.rules.limits import Limits
from vessel.errors import BadInput

EVERY_S = 900.0
COUNT = 960  # ten days of quarters


def facts_for(*, leg_id: int, at: datetime, departures: Departures | None = None) -> Facts:
    """Everything a rule may see of one leg as it stands at `at`. Sixteen queries.

    Departures: every quarter of an hour for ten days, unless given. Raises Leg.DoesNotExist,
    and BadInput where the leg has no two points or a limit is out of bounds.
    """
    row = leg_row(leg_id)
    chosen = departures or coming_departures(at, row.leg.planned_at)
    people, names = crew_of(leg_id, at)
    policies = policies_of(row.leg.vessel_id)
    way = way_of(row.leg)
    limits, held = limits_of(row.limit_values), water_of(row, way, chosen)
    boat = with_tolerance(boat_of(row, at), limits)
    leg, water = msgspec.structs.replace(way.facts, refuges=held.refuges), with_last_entry(held.facts, limits)
    waivers, met = laid_over(leg_id, names)
    return Facts(
        format=FORMAT,
        judged_at=at.astimezone(UTC),
        boat=boat,
        people=people,
        contact=contact_of(row.leg),
        policies=policies,
        leg=leg,
        water=water,
        departures=chosen,
        limits=limits,
        waivers=waivers,
        met=met,
        counts=counts_of(boat, people, policies, leg, water),
    )


def coming_departures(at: datetime, planned_at: datetime) -> Departures:
    """Every quarter of an hour for ten days from `at`, in step with the planned departure.

    For a leg planned later than that the ten days begin a day before its departure.
    """
    quarter, planned, now = timedelta(seconds=EVERY_S), planned_at.astimezone(UTC), at.astimezone(UTC)
    first = now + (planned - now) % quarter
    if planned - first >= COUNT * quarter:
        first = planned - timedelta(days=1)
    return Departures(first=first, every_s=EVERY_S, count=COUNT)


def limits_of(values: dict[str, Any] | None) -> Limits:
    """The vessel's own limits over the printed defaults. Raises BadInput for one out of its bounds."""
    try:
        return msgspec.convert(values or {}, Limits)
    except msgspec.ValidationError as error:
        raise BadInput(f"The limits set for this boat cannot be used: {error}. Set them again.") from error


def laid_over(leg_id: int, names: dict[str, str]) -> tuple[tuple[WaiverFact, ...], tuple[Met, ...]]:
    """Waivers and conditions met of the leg; people are named where they sail in it. One query."""
    nothing, nought, never = Value(""), Cast(Value(None), FloatField()), Cast(Value(None), DateTimeField())
    waived = Waiver.objects.filter(leg_id=leg_id, withdrawn_at=None).annotate(
        what=Value("waiver", CharField()), note=F("reason")
    )
    met = ConditionMet.objects.filter(leg_id=leg_id, struck_at=None).annotate(
        what=Value("met", CharField()), instead=nothing, told=Value([], JSONField()), value=nought, limit=nought,
        lapses_at_value=nought, until=never, leg_distance_m=nought, crew=Value([], JSONField()),
    )  # fmt: skip
    columns = (
        "what", "rule", "cause", "by", "at", "departure_at", "note", "instead", "told", "value", "limit",
        "lapses_at_value", "until", "leg_distance_m", "crew",
    )  # fmt: skip
    rows = list(waived.order_by().values(*columns).union(met.order_by().values(*columns), all=True))
    rows.sort(key=lambda row: (row["at"], row["rule"], row["cause"]))
    return (
        tuple(_waiver(row, names) for row in rows if row["what"] == "waiver"),
        tuple(_met(row) for row in rows if row["what"] == "met"),
    )


def _waiver(row: dict[str, Any], names: dict[str, str]) -> WaiverFact:
    kept = {name: value for name, value in row.items() if name not in ("what", "note", "told", "crew")}
    return WaiverFact(
        **kept,
        reason=row["note"],
        told=tuple(names.get(token, token) for token in row["told"]),
        crew=tuple(names.get(token, token) for token in row["crew"]),
    )


def _met(row: dict[str, Any]) -> Met:
    return Met(**{name: row[name] for name in ("rule", "cause", "by", "at", "departure_at", "note")})
