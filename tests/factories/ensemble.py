"""An ensemble about the forecast of some facts: each member a little stronger than the one before."""

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_water import Members
from readiness.rules.record import Array

STRONGER = ("wind_east_mps", "wind_north_mps", "gust_mps", "wave_height_m")
AS_IT_IS = ("wave_period_s", "wave_from_east", "wave_from_north")


def with_members(facts: Facts, count: int, weakest: float = 0.5, strongest: float = 1.5) -> Facts:
    """The facts with so many members, the first `weakest` times the forecast in wind and sea, the last `strongest`."""
    forecast = facts.water.forecast
    assert forecast is not None
    by = np.linspace(weakest, strongest, count)[:, None, None]
    grids: dict[str, Array] = {name: by * getattr(forecast, name) for name in STRONGER}
    grids |= {name: np.repeat(getattr(forecast, name)[None], count, axis=0) for name in AS_IT_IS}
    return changed(facts, water=replace(facts.water, forecast=replace(forecast, members=Members(**grids))))
