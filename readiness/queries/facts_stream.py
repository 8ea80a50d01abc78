"""Facts of tidal streams: the tables a leg names, and those observed near its way."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

import numpy as np
from django.db.models import Q

from readiness.models import StreamTable
from readiness.queries.facts_number import number
from readiness.rules.facts_water import Leg, Stream
from readiness.rules.record import Array
from readiness.rules.streams_met import FARTHEST_M
from readiness.rules.words_of_trade import StreamBy
from vessel.units import NAUTICAL_MILE

Row = Mapping[str, Any]
MARGIN_DEG = 2 * FARTHEST_M / (60 * NAUTICAL_MILE)  # wide enough for tracks that bulge: which table is used is a rule
NO_TABLES = Q(pk__in=())


def streams_of(table_ids: Iterable[int], also: Q = NO_TABLES) -> tuple[tuple[Stream, ...], set[int]]:
    """The stream tables, and the primary keys of the stations they hang on. One query."""
    rows = (
        StreamTable.objects.filter(Q(pk__in=list(table_ids)) | also)
        .order_by("pk", "rows__from_high_water_s")
        .values(
            "pk", "key", "name", "steady", "tide_station_id", "tide_station__key", "neaps_range_m", "springs_range_m",
            "rates_held_beyond", "lat_deg", "lon_deg",
            "rows__from_high_water_s", "rows__set_deg", "rows__rate_neaps_mps", "rows__rate_springs_mps",
        )
    )  # fmt: skip
    groups = [list(group) for _, group in groupby(rows, key=itemgetter("pk"))]
    stations = {group[0]["tide_station_id"] for group in groups} - {None}
    return tuple(_stream(group) for group in groups), stations


def tables_near(vessel_id: int, leg: Leg) -> Q:
    """The tables observed within some miles of a leg's way; none where every segment names its own. No query."""
    if all(segment.stream_by == StreamBy.NAMED for segment in leg.segments):
        return NO_TABLES
    lat_deg = np.array([point.lat_deg for point in leg.points])
    lon_deg = np.degrees(np.unwrap(np.radians([point.lon_deg for point in leg.points])))  # over the date line too
    south, north = float(lat_deg.min()) - MARGIN_DEG, float(lat_deg.max()) + MARGIN_DEG
    wide = MARGIN_DEG / max(np.cos(np.radians(max(abs(south), abs(north)))), 0.01)
    west, east = float(lon_deg.min() - wide), float(lon_deg.max() + wide)
    between = Q()
    for turn in (-360.0, 0.0, 360.0):
        between |= Q(lon_deg__range=(west + turn, east + turn))
    return Q(vessel_id=vessel_id, lat_deg__range=(south, north)) & between


def _stream(group: Sequence[Row]) -> Stream:
    first = group[0]
    rows = [row for row in group if row["rows__from_high_water_s"] is not None]

    def column(name: str) -> Array:
        return np.array([row[f"rows__{name}"] for row in rows], dtype=np.float64)

    return Stream(
        key=first["key"],
        name=first["name"],
        lat_deg=number(first["lat_deg"]),
        lon_deg=number(first["lon_deg"]),
        steady=first["steady"],
        station=first["tide_station__key"],
        from_high_water_s=column("from_high_water_s"),
        set_deg=column("set_deg"),
        rate_neaps_mps=column("rate_neaps_mps"),
        rate_springs_mps=column("rate_springs_mps"),
        neaps_range_m=number(first["neaps_range_m"]),
        springs_range_m=number(first["springs_range_m"]),
        rates_held_beyond=first["rates_held_beyond"],
    )
