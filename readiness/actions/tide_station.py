"""Tide stations out of files: published constants, printed tables, and constants worked out of observations."""

from datetime import UTC, datetime
from typing import Any

import msgspec
import numpy as np
from django.db import transaction

from readiness.actions.coast import add_tide_station
from readiness.feeds.tide_answer import TideFile
from readiness.feeds.tide_fit import fit_series
from readiness.feeds.tide_series import SeriesFile
from readiness.feeds.tide_table import HighLowFile, StationFile
from readiness.models import TideStation, TideStationKind
from vessel.actions.author import By
from vessel.errors import BadInput
from vessel.models import Vessel


@transaction.atomic
def add_fitted_station(*, vessel: Vessel, by: By, at: datetime, observed: SeriesFile, **fields: Any) -> TideStation:
    """A tide station with constants fitted to observed heights, and what the fit left over. Raises BadInput.

    The datum is that of the heights, unless another is given.
    """
    file = fit_series(observed)
    return add_tide_station(
        vessel=vessel,
        by=by,
        at=at,
        kind=TideStationKind.FITTED,
        constants=constants_of(file),
        mean_level_m=file.harmonics.mean_level_m,
        fit=msgspec.json.decode(msgspec.json.encode(file.fit)),  # not known goes out as null
        **{"datum": file.datum, "source": file.source or "", **fields},
    )


def add_station_of_file(*, vessel: Vessel, by: By, at: datetime, file: TideFile, **fields: Any) -> TideStation:
    """A tide station with the constants or the high and low waters of a file, and what the file says of them.

    Raises BadInput.
    """
    ends = {name: _moment(end) for name, end in zip(("valid_from", "valid_to"), file.valid, strict=True)}
    said: dict[str, Any] = {"datum": file.datum, "source": file.source or "", **ends}
    if isinstance(file, StationFile):
        level_m = file.harmonics.mean_level_m
        said |= {"kind": TideStationKind.HARMONIC, "constants": constants_of(file)}
        said["mean_level_m"] = None if np.isnan(level_m) else level_m
    elif isinstance(file, HighLowFile):
        table = file.table
        rows = zip(table.at.tolist(), table.height_m.tolist(), table.high.tolist(), strict=True)
        said |= {"kind": TideStationKind.TABLE, "events": [(_known(when), height, high) for when, height, high in rows]}
    else:
        raise BadInput("Differences are written down with the port they are on. Nothing was written.")
    return add_tide_station(vessel=vessel, by=by, at=at, **{**said, **fields})


def _moment(at: float) -> datetime | None:
    return _known(at) if np.isfinite(at) else None


def _known(at: float) -> datetime:
    return datetime.fromtimestamp(at, UTC)


def constants_of(file: StationFile) -> list[dict[str, str | float | None]]:
    """The constants as a station keeps them; a speed of null: that of the tables."""
    each = file.harmonics
    rows = zip(
        each.constituents, each.amplitude_m.tolist(), each.phase_utc_deg.tolist(), each.speed_deg_per_h.tolist(),
        strict=True,
    )  # fmt: skip
    return [
        {
            "name": name,
            "amplitude_m": amplitude_m,
            "phase_utc_deg": lag,
            "speed_deg_per_h": None if np.isnan(speed) else speed,
        }
        for name, amplitude_m, lag, speed in rows
    ]
