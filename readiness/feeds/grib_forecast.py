"""A GRIB file as one forecast: the fields a passage needs, on one grid, at one row of times, members apart."""

from collections import Counter
from collections.abc import Iterable

import numpy as np

from readiness.calc.grid import bilinear
from readiness.calc.hole import with_holes
from readiness.feeds.forecast import PAIRS, QUANTITIES, ForecastFile, believed
from readiness.feeds.grib import GribField, GribFile
from readiness.feeds.grib_label import Singles
from readiness.feeds.grib_recipe import RECIPES, SINCE_THE_LAST, variables_of, why_not
from readiness.feeds.grib_sections import NOTHING
from readiness.feeds.grib_series import Moment, Series
from vessel.calc.wording import counted
from vessel.errors import BadInput
from vessel.units import Array

MOST_NUMBERS = 6_000_000
COARSEST_DEG = 1.0
Rows = dict[tuple[str, int | None], Series]


def to_forecast(file: GribFile, *, source: str = "") -> ForecastFile:
    """The forecast a GRIB file holds. Raises BadInput when it holds nothing a passage can use."""
    used, ignored = _sorted_out(file.fields)
    if not used:
        raise BadInput(f"This GRIB file holds no field that can be used: {'; '.join(ignored)}. {NOTHING}")
    finest = min(used, key=_spacing)
    _check_size(used, finest)
    members = tuple(sorted({each.label.member for each in used if each.label.member is not None}))
    rows = _rows(used, finest)
    times = np.array(sorted({time for series in rows.values() for time in series.moments}))
    at = np.asarray(with_holes(times))
    runs = sorted({each.data_time for series in rows.values() for each in series.moments.values()})
    variables = _variables(rows, at, members, finest)
    warnings = tuple(_warnings(used, finest, rows, runs, len(at) - len(times)))
    if not variables:
        raise BadInput(f"This GRIB file cannot be used. {warnings[0]} {NOTHING}")
    return believed(
        ForecastFile(
            kind="grib",
            layout="grid",
            source=source,
            # the oldest run counts: age must never look younger than any part
            issued_at=runs[0],
            at=at,
            lat_deg=finest.lat_deg,
            lon_deg=finest.lon_deg,
            variables={name: values.astype(float) for name, values in variables.items()},
            members=members,
            warnings=warnings,
            ignored=ignored,
        )
    )


def _sorted_out(fields: Iterable[GribField]) -> tuple[list[GribField], tuple[str, ...]]:
    """The fields to use, and for each kind of field left out how many and why."""
    reasons = {each.label.number: why_not(each) for each in fields}
    usable = [each for each in fields if reasons[each.label.number] is None]
    ensemble = any(each.label.member is not None for each in usable)
    best = {recipe.variable: each for each in _by_rank(usable) for recipe in [RECIPES[each]]}
    for each in usable:
        name = each.label.short_name
        if best[RECIPES[name].variable] != name:
            reasons[each.label.number] = f"{best[RECIPES[name].variable]} is used instead"
        elif ensemble and each.label.member is None:
            reasons[each.label.number] = "outside the ensemble"
    left_out = Counter(
        f"{each.label.short_name} at {each.label.level_type} {each.label.level:g}: {reason}"
        for each in fields
        if (reason := reasons[each.label.number])
    )
    used = [each for each in usable if reasons[each.label.number] is None]
    return used, tuple(f"{what} ({counted(count, 'field')})" for what, count in sorted(left_out.items()))


def _by_rank(usable: Iterable[GribField]) -> list[str]:
    """Short names present, the preferred one of each variable last."""
    return sorted({each.label.short_name for each in usable}, key=lambda name: -RECIPES[name].rank)


def _spacing(field: GribField) -> float:
    steps = [np.ptp(axis) / (len(axis) - 1) for axis in (field.lat_deg, field.lon_deg) if len(axis) > 1]
    return float(max(steps, default=0.0))


def _rows(used: Iterable[GribField], finest: GribField) -> Rows:
    rows: Rows = {}
    for each in used:
        label = each.label
        for name, values in variables_of(each).items():
            moment = Moment(
                label.data_time,
                label.from_time,
                _regridded(values, each, finest),
                label.short_name in SINCE_THE_LAST,
            )
            rows.setdefault((name, label.member), Series()).add(label.valid_time, moment)
    return rows


def _regridded(values: Singles, field: GribField, finest: GribField) -> Singles:
    if _same_grid(field, finest):
        return values
    lat, lon = np.meshgrid(finest.lat_deg, finest.lon_deg, indexing="ij")
    taken = np.asarray(bilinear(values.astype(float), field.lat_deg, field.lon_deg, lat.ravel(), lon.ravel()))
    return taken.reshape(lat.shape).astype(np.float32)


def _same_grid(one: GribField, other: GribField) -> bool:
    return np.array_equal(one.lat_deg, other.lat_deg) and np.array_equal(one.lon_deg, other.lon_deg)


def _check_size(used: list[GribField], finest: GribField) -> None:
    """Before anything is brought onto the finest grid: many small fields and one large one could fill the memory."""
    labels = [each.label for each in used]
    columns = {(label.short_name, label.member) for label in labels}
    numbers = len(columns) * len({label.valid_time for label in labels}) * finest.values.size
    if numbers > MOST_NUMBERS:
        raise BadInput(f"This forecast would hold {numbers:,} numbers; ask for a smaller area. {NOTHING}")


def _variables(rows: Rows, at: Array, members: tuple[int, ...], finest: GribField) -> dict[str, Singles]:
    """Every variable found, [time, y, x] or [member, time, y, x]; a member without it is not known."""
    nothing = np.full((len(at), *finest.values.shape), np.nan, np.float32)
    variables: dict[str, Singles] = {}
    for name in QUANTITIES:
        of_members = [rows.get((name, member)) for member in members or (None,)]
        if any(of_members):
            laid = [series.laid_on(at) if series else nothing for series in of_members]
            variables[name] = np.stack(laid) if members else laid[0]
    for member, times in _uneven(rows).items():
        # interpolating the missing part would hide that it is missing
        place = (members.index(member),) if member is not None else ()
        variables[PAIRS[0][0]][(*place, np.isin(at, list(times)))] = np.nan
    return {name: values for name, values in variables.items() if _partner(name) in {None, *variables}}


def _partner(name: str) -> str | None:
    return next((pair[1 - pair.index(name)] for pair in PAIRS if name in pair), None)


def _warnings(used: list[GribField], finest: GribField, rows: Rows, runs: list[float], gaps: int) -> list[str]:
    names = {name for name, _ in rows}
    odd_grid = sorted({each.label.short_name for each in used if not _same_grid(each, finest)})
    replaced = sum(series.replaced for series in rows.values())
    contradicted = sum(series.contradicted for series in rows.values())
    uneven = sum(len(times) for times in _uneven(rows).values())
    half = {
        "The east part of the wind is there without the north part: the wind is not used.": PAIRS[0],
        "The north part of the wind is there without the east part: the wind is not used.": PAIRS[0][::-1],
    }
    said = {
        **{text: there in names and missing not in names for text, (there, missing) in half.items()},
        f"One part of the wind without the other at {counted(uneven, 'time')}: no wind then.": uneven,
        f"{', '.join(odd_grid)}: on another grid, interpolated onto the finest one.": odd_grid,
        f"The fields come from {len(runs)} runs; the oldest one counts for the age.": len(runs) > 1,
        f"Gave way to a newer run: {counted(replaced, 'field')} of an older one.": replaced,
        f"There twice with different values, so not known: {counted(contradicted, 'field')}.": contradicted,
        f"Missing or too far apart: {counted(gaps, 'time')}. Nothing is known in between.": gaps,
        f"The grid is coarse, {_spacing(finest):.1f} degrees: local wind will not show.": _spacing(finest)
        > COARSEST_DEG,
    }
    return [sentence for sentence, holds in said.items() if holds]


def _uneven(rows: Rows) -> dict[int | None, set[float]]:
    """For each member the times at which only one part of the wind is there."""
    east, north = PAIRS[0]
    both = {member for name, member in rows if name == east and (north, member) in rows}
    return {each: rows[east, each].moments.keys() ^ rows[north, each].moments.keys() for each in both}
