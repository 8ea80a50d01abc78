"""Facts of tides: constants as they stand, tables only for the days in question."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import groupby
from operator import itemgetter
from typing import Any

import numpy as np
from django.db.models import FilteredRelation, Q

from readiness.calc.tide import Harmonics, TideTable, high_low_of, within
from readiness.calc.tide_agency import shares_of
from readiness.calc.tide_secondary import secondary
from readiness.models import TideStation, TideStationKind
from readiness.models.tide_station import HAVE_CONSTANTS
from readiness.queries.facts_number import number
from readiness.rules.facts_water import ALWAYS, Departures, Level, Station
from readiness.rules.record import NOT_KNOWN, Array, moment
from readiness.rules.tide_differences import port_of
from readiness.rules.words_of_trade import StationKind

Row = Mapping[str, Any]
BEFORE = timedelta(days=3)  # streams hang on the tide before, and its range on the one before that
AFTER = timedelta(days=5)  # a leg lasts two days at most, and its late figures longer


def stations_of(station_ids: Iterable[int], departures: Departures) -> tuple[Station, ...]:
    """The stations, printed tables and secondary ports with the events around the departures. One query."""
    last = departures.first + timedelta(seconds=departures.every_s * departures.count)
    ids = list(station_ids)
    start, end = departures.first - BEFORE, last + AFTER
    rows = (
        TideStation.objects.filter(Q(pk__in=ids) | Q(secondary_ports__in=ids))
        .annotate(event=FilteredRelation("events", condition=Q(events__at__range=(start, end))))
        .order_by("pk", "event__at")
        .distinct()
        .values(
            "pk", "key", "name", "kind", "datum", "source", "mean_level_m", "constants", "reference_id", "differences",
            "differences_applied", "levels", "valid_from", "valid_to", "event__at", "event__height_m", "event__high",
        )
    )  # fmt: skip
    held = {pk: list(group) for pk, group in groupby(rows, key=itemgetter("pk"))}
    span = (start.timestamp(), end.timestamp())
    return tuple(_station(held[pk], held, span) for pk in sorted(ids) if pk in held)


def _station(group: Sequence[Row], held: Mapping[int, Sequence[Row]], span: tuple[float, float]) -> Station:
    row = group[0]
    harmonic = row["kind"] in HAVE_CONSTANTS
    if row["kind"] == TideStationKind.SECONDARY:
        events = shifted(_events(held[row["reference_id"]], span), row["differences"])
    else:
        events = _printed(group)
    constants = row["constants"] if harmonic else []
    return Station(
        key=row["key"],
        name=row["name"],
        kind=StationKind.HARMONIC if harmonic else StationKind.TABLE,
        datum=row["datum"],
        unit="m",
        source=row["source"],
        differences_applied=row["differences_applied"] if row["kind"] == TideStationKind.TABLE else True,
        mean_level_m=number(row["mean_level_m"]) if harmonic else NOT_KNOWN,
        levels=tuple(Level(name=name, height_m=number(height)) for name, height in row["levels"].items()),
        valid_from=row["valid_from"] or ALWAYS[0],
        valid_to=row["valid_to"] or ALWAYS[1],
        constituents=tuple(constant["name"] for constant in constants),
        amplitude_m=_column(constants, "amplitude_m"),
        phase_utc_deg=_column(constants, "phase_utc_deg"),
        speed_deg_per_h=_column(constants, "speed_deg_per_h"),
        event_at=tuple(moment(float(at)) for at in events.at),
        event_m=events.height_m,
        event_high=tuple(bool(high) for high in events.high),
    )


def _column(constants: Sequence[Row], name: str) -> Array:
    return np.array([constant.get(name) for constant in constants], dtype=np.float64)


def _printed(group: Sequence[Row]) -> TideTable:
    rows = [row for row in group if row["event__at"] is not None]
    return TideTable(
        at=np.array([row["event__at"].timestamp() for row in rows], dtype=np.float64),
        height_m=np.array([row["event__height_m"] for row in rows], dtype=np.float64),
        high=np.array([row["event__high"] for row in rows], dtype=bool),
    )


def _events(group: Sequence[Row], span: tuple[float, float]) -> TideTable:
    """High and low waters of a reference, while its figures hold; none of one that is a secondary port itself."""
    row = group[0]
    if row["kind"] in HAVE_CONSTANTS:
        table = high_low_of(harmonics_of(row["constants"], row["mean_level_m"], row["source"]), *span)
    else:
        table = _printed(group)
    return within(table, *valid_span(row["valid_from"], row["valid_to"]))


def valid_span(valid_from: datetime | None, valid_to: datetime | None) -> tuple[float, float]:
    """From when until when a station's figures hold, UTC seconds; infinite where nobody set an end. No query."""
    return (
        -np.inf if valid_from is None else valid_from.timestamp(),
        np.inf if valid_to is None else valid_to.timestamp(),
    )


def harmonics_of(constants: Sequence[Row], mean_level_m: float | None, source: str = "") -> Harmonics:
    """The constants of a station as the tide sums take them, with the node factors of the agency they come from.

    What is not known is NaN. No query.
    """
    names = tuple(constant["name"] for constant in constants)
    return Harmonics(
        constituents=names,
        amplitude_m=_column(constants, "amplitude_m"),
        phase_utc_deg=_column(constants, "phase_utc_deg"),
        speed_deg_per_h=_column(constants, "speed_deg_per_h"),
        mean_level_m=number(mean_level_m),
        node_share=shares_of(source, names),
    )


def shifted(reference: TideTable, differences: Mapping[str, Any]) -> TideTable:
    """High and low waters of a secondary port whose times are known; none where the differences make no sense.

    A height is NaN where its difference is not known. No query.
    """
    try:
        table = secondary(reference, port_of(differences))
    except ValueError:
        return within(reference, np.inf, -np.inf)
    timed = np.isfinite(table.at)
    return TideTable(table.at[timed], table.height_m[timed], table.high[timed])
