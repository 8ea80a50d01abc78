"""Which fields of a GRIB file a passage needs, under which name and unit, and why the others are left out."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from readiness.feeds.grib import GribField
from readiness.feeds.grib_label import FieldLabel, Singles

WAVE_FROM = "wave_from"  # a direction in the file, a vector with us


@dataclass(frozen=True, slots=True)
class Recipe:
    """How a field becomes a variable: value x scale + offset, if its unit is the one expected. Lower rank wins."""

    variable: str
    units: str
    scale: float = 1.0
    offset: float = 0.0
    rank: int = 0


# Short names are those of the WMO and ECMWF parameter tables.
RECIPES: Mapping[str, Recipe] = {
    "10u": Recipe("wind_east_mps", "m s**-1"),
    "10v": Recipe("wind_north_mps", "m s**-1"),
    "max_i10fg": Recipe("gust_mps", "m s**-1"),
    "10fg": Recipe("gust_mps", "m s**-1", rank=1),
    "i10fg": Recipe("gust_mps", "m s**-1", rank=2),
    "gust": Recipe("gust_mps", "m s**-1", rank=3),
    "swh": Recipe("wave_height_m", "m"),
    # the mean period is the shorter one, so the steeper sea: the careful choice
    "mwp": Recipe("wave_period_s", "s"),
    "perpw": Recipe("wave_period_s", "s", rank=1),
    "pp1d": Recipe("wave_period_s", "s", rank=2),
    "mwd": Recipe(WAVE_FROM, "Degree true"),
    "dirpw": Recipe(WAVE_FROM, "Degree true", rank=1),
    "prmsl": Recipe("pressure_hpa", "Pa", scale=0.01),
    "msl": Recipe("pressure_hpa", "Pa", scale=0.01, rank=1),
    "mslet": Recipe("pressure_hpa", "Pa", scale=0.01, rank=2),
    "vis": Recipe("visibility_m", "m"),
    "2t": Recipe("air_c", "K", offset=-273.15),
    "sst": Recipe("sea_c", "K", offset=-273.15),
    "wtmp": Recipe("sea_c", "K", offset=-273.15, rank=1),
    "tos": Recipe("sea_c", "K", offset=-273.15, rank=2),
}
# GRIB1 files give this maximum "since the last one" without saying since when.
SINCE_THE_LAST = frozenset({"10fg", "max_i10fg"})
PLAIN_TEMPLATES = frozenset({0, 1, 8, 11})  # no means, spreads or probabilities of an ensemble
PLAIN_TYPES = frozenset({"an", "fc", "cf", "pf", "af"})
PEAKS = frozenset({"max"})


def why_not(field: GribField) -> str | None:
    """The reason why a field is not used, or None when it is."""
    label = field.label
    recipe = RECIPES.get(label.short_name)
    of_time = "instant" if recipe is None or recipe.variable != "gust_mps" else "instant or maximum"
    reasons = {
        "not needed for a passage": recipe is None,
        f"in {label.units!r}, not the unit expected": recipe is not None and label.units != recipe.units,
        f"on a {field.grid.grid_type} grid, which is read but not used": not field.regular,
        "a mean, spread or probability of an ensemble": not _plain(label),
        f"'{label.step_type}' over an interval, where {of_time} is wanted": not _right_step(label, recipe),
    }
    return next((reason for reason, holds in reasons.items() if holds), None)


def _plain(label: FieldLabel) -> bool:
    return label.template in PLAIN_TEMPLATES and label.data_type in PLAIN_TYPES


def _right_step(label: FieldLabel, recipe: Recipe | None) -> bool:
    if label.step_type == "instant":
        return True
    return recipe is not None and recipe.variable == "gust_mps" and label.step_type in PEAKS


def variables_of(field: GribField) -> dict[str, Singles]:
    """The variable(s) a used field holds, in SI, still on its own grid."""
    recipe = RECIPES[field.label.short_name]
    values = field.values
    if (recipe.scale, recipe.offset) != (1.0, 0.0):
        values = values * recipe.scale + recipe.offset
    if recipe.variable != WAVE_FROM:
        return {recipe.variable: values}
    # a direction off the compass is not known; its vector must not bring it back into range
    with np.errstate(invalid="ignore"):
        direction = np.radians(np.where((values >= 0) & (values <= 360), values, np.nan))
    return {"wave_from_east": np.sin(direction), "wave_from_north": np.cos(direction)}
