"""The newest forecast, sampled along the way of a leg: points by times, nothing more than the leg can meet."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from readiness.calc.track import cut
from readiness.feeds.forecast import QUANTITIES, ForecastFile, sample, unpack
from readiness.models import Forecast
from readiness.queries.forecast import NEWEST_FIRST
from readiness.rules.facts_water import Departures, Leg, Members
from readiness.rules.facts_water import Forecast as ForecastFact
from readiness.rules.record import Array, moment
from readiness.rules.words_of_trade import Confidence, TrackKind
from vessel.errors import BadInput
from vessel.units import DAY, NAUTICAL_MILE

SPACING_M = 5 * NAUTICAL_MILE  # own default: finer than the fields of a forecast vary
MEMBER_DECIMALS = 2  # of metres, seconds and metres per second: a member is counted, never a figure to lean on [own]
BEYOND_S = 4 * DAY  # longest passage with its slack before bad weather


def forecast_of(vessel_id: int, leg: Leg, departures: Departures) -> ForecastFact | None:
    """The newest forecast held, sampled at the leg's points and every 5 nmi between. One query.

    None where none is held or the one held is damaged. Of an ensemble the first member, which is the control, is
    the forecast; all of them stand beside it.
    """
    newest = Forecast.objects.filter(vessel_id=vessel_id).order_by(*NEWEST_FIRST).first()
    if newest is None:
        return None
    try:
        held = unpack(bytes(newest.packed))
    except BadInput:
        return None
    return sampled(held, leg, departures, newest)


def sampled(held: ForecastFile, leg: Leg, departures: Departures, row: Forecast) -> ForecastFact:
    """A forecast along the way of a leg, from the last time before the departures as far as they may reach."""
    track = cut(
        np.array([point.lat_deg for point in leg.points]),
        np.array([point.lon_deg for point in leg.points]),
        np.array([segment.kind == TrackKind.GEODESIC for segment in leg.segments]),
        SPACING_M,
    )
    asked = _asked_for(held, departures)
    values = sample(asked, track.node_lat_deg, track.node_lon_deg)
    nothing = np.full((len(asked.at), len(track.node_along_m)), np.nan)
    fields: dict[str, Any] = {name: _control(values[name], held) if name in values else nothing for name in QUANTITIES}
    return ForecastFact(
        source=row.source,
        issued_at=row.issued_at,
        confidence=None if row.confidence is None else Confidence(row.confidence),
        at=tuple(moment(float(at)) for at in asked.at),
        along_m=track.node_along_m,
        members=_members(values, len(held.members), nothing.shape) if held.members else None,
        **fields,
    )


def _control(values: Array, held: ForecastFile) -> Array:
    return values[0] if held.members else values


def _members(values: Mapping[str, Array], count: int, shape: tuple[int, ...]) -> Members:
    """All members, [member, time, point]; what a member lacks stays missing, and so does what none has."""
    nothing = np.full((count, *shape), np.nan)
    grids = {name: values.get(name, nothing) for name in Members.__struct_fields__}
    return Members(**{name: np.asarray(np.round(grid, MEMBER_DECIMALS), np.float64) for name, grid in grids.items()})


def _asked_for(held: ForecastFile, departures: Departures) -> ForecastFile:
    """The same forecast at the times the departures can meet."""
    chosen, axis = _times(held.at, departures), -3 if held.layout == "grid" else -2
    variables = {name: np.take(values, chosen, axis=axis) for name, values in held.variables.items()}
    return replace(held, at=held.at[chosen], variables=variables)


def _times(at: Array, departures: Departures) -> NDArray[np.intp]:
    """Indices of the times that matter, with one before the first departure."""
    first = departures.first.timestamp()
    last = first + departures.every_s * departures.count + BEYOND_S
    start = max(int(np.searchsorted(at, first, side="right")) - 1, 0)
    return np.arange(start, int(np.searchsorted(at, last, side="right")), dtype=np.intp)
