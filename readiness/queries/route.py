"""Reads for the route editor: what a point or a segment may be tied to, and the way as it stands."""

from collections.abc import Mapping
from dataclasses import dataclass

from readiness.models import Gate, Leg, LegPoint, LegSegment, StreamTable, TideStation


@dataclass(frozen=True)
class Ties:
    """Tide stations, gates and stream tables of a vessel by primary key."""

    stations: Mapping[int, TideStation]
    gates: Mapping[int, Gate]
    tables: Mapping[int, StreamTable]


def ties_of(vessel_id: int) -> Ties:
    """All that points and segments of a vessel's legs can be tied to. Three queries."""
    return Ties(
        stations={row.pk: row for row in TideStation.objects.filter(vessel_id=vessel_id).order_by("name")},
        gates={row.pk: row for row in Gate.objects.filter(vessel_id=vessel_id).order_by("name")},
        tables={row.pk: row for row in StreamTable.objects.filter(vessel_id=vessel_id).order_by("name")},
    )


def way_rows(leg: Leg) -> list[tuple[LegPoint, LegSegment | None]]:
    """Each point with the segment that leaves it, None where nothing is written of it. Two queries."""
    onward = {segment.number: segment for segment in LegSegment.objects.filter(leg=leg)}
    return [(point, onward.get(point.number)) for point in LegPoint.objects.filter(leg=leg).order_by("number")]
