"""A tide station of the database as the command and pages ask it: the same records a file is read into."""

from datetime import datetime
from typing import Any

import numpy as np
from django.db.models import Q

from readiness.calc.tide import Harmonics, TideTable, form_number, longest_gap_of
from readiness.feeds.tide_answer import TideFile
from readiness.feeds.tide_table import HighLowFile, StationFile
from readiness.models import TideStation
from readiness.queries.facts_tide import stations_of
from readiness.rules.facts_water import Departures, Station
from readiness.rules.record import epochs
from readiness.rules.words_of_trade import StationKind
from vessel.errors import BadInput

ZONE = "UTC"


def station_called(name: str, start: datetime, end: datetime) -> TideFile:
    """A station by its key or name, with its events about the times asked for. Two queries. Raises BadInput."""
    found = list(TideStation.objects.filter(Q(key=name) | Q(name=name)).order_by("pk")[:2])
    if not found:
        known = ", ".join(TideStation.objects.order_by("name").values_list("name", flat=True)[:8])
        raise BadInput(f"There is no file and no tide station called {name}. Stations held: {known or 'none yet'}.")
    if len(found) > 1:
        raise BadInput(f"More than one tide station is called {name}; ask by its key.")
    span = Departures(first=start, every_s=(end - start).total_seconds(), count=1)
    return _as_file(stations_of([found[0].pk], span)[0])


def _as_file(station: Station) -> TideFile:
    stated: dict[str, Any] = {
        "name": station.name,
        "datum": station.datum,
        "zone": ZONE,
        "harbour_zone": None,
        "unit": "m",
        "source": station.source,
        "ignored": (),
        "warnings": (),
    }
    if station.kind == StationKind.TABLE:
        table = TideTable(epochs(station.event_at), station.event_m, np.array(station.event_high, np.bool_))
        return HighLowFile(table=table, longest_gap_s=longest_gap_of(float("nan")), rows=len(table.at), **stated)
    harmonics = Harmonics(
        station.constituents,
        station.amplitude_m,
        station.phase_utc_deg,
        station.speed_deg_per_h,
        station.mean_level_m,
    )
    rows = len(station.constituents)
    return StationFile(harmonics=harmonics, form=float(form_number(harmonics)), rows=rows, **stated)
