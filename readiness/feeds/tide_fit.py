"""Constants fitted from a series of observed heights: a station file like one with published constants."""

import numpy as np

from readiness.calc.tide import form_number
from readiness.calc.tide_constituent import table_speed
from readiness.calc.tide_constituent_table import USUAL
from readiness.calc.tide_fit import Fit, fitted
from readiness.feeds.tide_fit_notes import ConstantDoubt, FitNotes
from readiness.feeds.tide_series import SeriesFile
from readiness.feeds.tide_sheet import refuse
from readiness.feeds.tide_table import StationFile
from readiness.rules.record import moment
from vessel.units import DAY, MINUTE, Array

SHORTEST = 29 * DAY
"""From new moon to new moon: the least that shows a spring and a neap tide of each kind."""
SAME_SPEED = 1e-4  # deg/h; some have two names
LONGEST_STEP = 90 * MINUTE
"""A gap is what is longer: the quickest shallow-water tides, of three hours, must still be seen."""


def fit_series(series: SeriesFile) -> StationFile:
    """The station file of constants fitted to a series. Raises BadInput for one too short or too far apart."""
    observed_s = _observed_s(series.at[np.isfinite(series.height_m)])
    if observed_s < SHORTEST:
        raise refuse(
            f"The observations cover {observed_s / DAY:.1f} days, leaving out gaps of more than"
            f" {LONGEST_STEP / MINUTE:.0f} minutes; a fit needs {SHORTEST / DAY:.0f} days."
        )
    fit = fitted(series.at, series.height_m)
    notes = series.notes
    return StationFile(
        harmonics=fit.harmonics,
        name=notes.name,
        datum=series.datum,
        zone=series.zone,
        harbour_zone=notes.zone_name,
        unit=series.unit,
        source=notes.source,
        form=float(form_number(fit.harmonics)),
        rows=series.rows,
        ignored=(),
        warnings=() if series.datum else ("The datum of the heights is not stated.",),
        valid=notes.valid,
        fit=_notes(fit, observed_s),
    )


def _observed_s(at: Array) -> float:
    steps = np.diff(at)
    return float(steps[steps <= LONGEST_STEP].sum())


def _notes(fit: Fit, observed_s: float) -> FitNotes:
    left = fit.residual_m
    largest = int(np.argmax(np.abs(left)))
    names = fit.harmonics.constituents
    doubts = zip(names, fit.amplitude_doubt_m.tolist(), np.asarray(fit.phase_doubt_deg).tolist(), strict=True)
    deviation = float(left.std())
    return FitNotes(
        first_at=moment(float(fit.at[0])),
        last_at=moment(float(fit.at[-1])),
        observed_s=observed_s,
        count=int(left.size),
        standard_deviation_m=deviation,
        within_95_m=float(np.quantile(np.abs(left), 0.95)),
        largest_m=float(left[largest]),
        largest_at=moment(float(fit.at[largest])),
        doubt_m=2 * deviation,
        constants=tuple(ConstantDoubt(name=name, amplitude_m=size, phase_deg=lag) for name, size, lag in doubts),
        inferred=fit.inferred,
        not_fitted=_not_fitted(names),
    )


def _not_fitted(names: tuple[str, ...]) -> tuple[str, ...]:
    """Those of the usual constituents that no fitted one has the speed of."""
    speeds = np.array([table_speed(name) for name in names], float)
    known = speeds[np.isfinite(speeds)]
    return tuple(name for name in USUAL if np.abs(known - table_speed(name)).min(initial=np.inf) > SAME_SPEED)
