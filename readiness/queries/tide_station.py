"""A tide station of the database as the command and pages ask it: the same records a file is read into."""

from dataclasses import replace
from datetime import datetime
from typing import Any

import msgspec
import numpy as np
from django.db.models import Q

from readiness.calc.tide import TideTable, form_number, longest_gap_of
from readiness.feeds.tide_answer import TideFile
from readiness.feeds.tide_fit_notes import FitNotes
from readiness.feeds.tide_secondary import SecondaryFile, secondary_file
from readiness.feeds.tide_table import HighLowFile, StationFile
from readiness.models import TideStation, TideStationKind
from readiness.models.tide_station import HAVE_CONSTANTS
from readiness.queries.facts_tide import BEFORE, harmonics_of, valid_span
from readiness.rules.record import decode_hook
from vessel.errors import BadInput

ZONE = "UTC"
DIFFERENCES = {
    True: (),
    False: ("The secondary port's differences are not in these figures, so they are those of the reference.",),
    None: ("Nobody said whether the secondary port's differences are in these figures.",),
}


def station_called(name: str, start: datetime, end: datetime) -> TideFile:
    """A station by its key or name, with its events about the times asked for. Two queries. Raises BadInput."""
    found = list(TideStation.objects.filter(Q(key=name) | Q(name=name)).select_related("reference").order_by("pk")[:2])
    if not found:
        known = ", ".join(TideStation.objects.order_by("name").values_list("name", flat=True)[:8])
        raise BadInput(f"There is no file and no tide station called {name}. Stations held: {known or 'none yet'}.")
    if len(found) > 1:
        raise BadInput(f"More than one tide station is called {name}; ask by its key.")
    return file_of(found[0], start, end)


def file_of(station: TideStation, start: datetime, end: datetime) -> TideFile:
    """The record of a station, with its events (or its reference's) some days about the times. One query at most.

    Raises BadInput for a secondary port whose differences make no sense or hang on another secondary port.
    """
    if station.kind == TideStationKind.SECONDARY:
        return _secondary(station, start - BEFORE, end + BEFORE)
    return _constants(station) if station.kind in HAVE_CONSTANTS else _table(station, start, end)


def _stated(station: TideStation) -> dict[str, Any]:
    return {
        "name": station.name,
        "datum": station.datum,
        "zone": ZONE,
        "harbour_zone": None,
        "source": station.source or None,
        "valid": valid_span(station.valid_from, station.valid_to),
    }


def _constants(station: TideStation) -> StationFile:
    harmonics = harmonics_of(station.constants, station.mean_level_m, station.source)
    return StationFile(
        harmonics=harmonics,
        unit="m",
        form=float(form_number(harmonics)),
        rows=len(harmonics.constituents) if station.fit is None else int(station.fit.get("count", 0)),
        ignored=(),
        warnings=(),
        fit=_fit(station),
        **_stated(station),
    )


def _fit(station: TideStation) -> FitNotes | None:
    """What the fit left over; None where there was none, or its record is not whole."""
    try:
        return None if station.fit is None else msgspec.convert(station.fit, FitNotes, dec_hook=decode_hook)
    except msgspec.ValidationError:
        return None


def _table(station: TideStation, start: datetime, end: datetime) -> HighLowFile:
    rows = list(
        station.events.filter(at__range=(start - BEFORE, end + BEFORE))
        .order_by("at")
        .values_list("at", "height_m", "high")
    )
    table = TideTable(
        np.array([at.timestamp() for at, _, _ in rows], float),
        np.array([height for _, height, _ in rows], float),
        np.array([high for _, _, high in rows], np.bool_),
    )
    return HighLowFile(
        table=table,
        unit="m",
        longest_gap_s=longest_gap_of(float("nan")),
        rows=len(rows),
        ignored=(),
        warnings=DIFFERENCES[station.differences_applied],
        **_stated(station),
    )


def _secondary(station: TideStation, start: datetime, end: datetime) -> SecondaryFile:
    if station.reference is None:
        raise BadInput(f"{station.name} has no reference port; enter the port its differences hang on.")
    reference = station.reference
    if reference.kind == TideStationKind.SECONDARY:
        raise BadInput(f"{station.name} hangs on {reference.name}, which is a secondary port itself; take the port it"
                       " hangs on as the reference.")  # fmt: skip
    found = secondary_file(station.differences or {}, None, file_of(reference, start, end))
    return replace(found, warnings=(), **_stated(station))
