"""Fuel surely aboard and what she burns at the speed of the leg: what several rules ask."""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from readiness.calc.fuel import LEAST_RUNS, Fit, fitted
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import FuelRun, SpeedPoint
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array, epoch
from readiness.rules.words_of_trade import GaugeKind
from vessel.calc.fuel import burn_at, surely_aboard
from vessel.calc.wording import with_unit

HARBOUR_MOVE_L = 10.0  # enough for a move inside the harbour [practice]
HOW_READ = {GaugeKind.DIP: "dip", GaugeKind.SIGHT: "sight", GaugeKind.GAUGE: "gauge"}


def sure_l(facts: Facts, passage: Passage) -> Array:
    """Litres surely aboard in all tanks, [departure]; NaN from the day a reading is too old."""
    total = np.zeros(passage.departures) if facts.boat.fuel else np.full(passage.departures, NOT_KNOWN)
    for tank in facts.boat.fuel:
        litres = NOT_KNOWN
        if tank.gauge is not None and 0 <= tank.reading_l.value <= tank.capacity_l:  # else it cannot be right
            reading = tank.reading_l.value
            litres = float(
                np.asarray(surely_aboard(reading, tank.unusable_l, tank.capacity_l, HOW_READ[tank.gauge]))  # type: ignore[arg-type]
            )
        age = passage.departure_at - epoch(tank.reading_l.at)
        total = total + np.where((age >= 0) & (age <= tank.reading_l.keeps_s), litres, NOT_KNOWN)
    return total


def burn_l_per_h(facts: Facts) -> float:
    """Litres an hour at the planned speed; NaN outside her speed table.

    The worse of the table and of what her runs really used counts.
    """
    fit = fit_of(facts)
    return _at_planned_speed(facts) * _factor(fit)


def fit_of(facts: Facts) -> Fit:
    """Her runs against her table, as known for a leg; worked out once for the same facts."""
    return _fit_of(facts)


@lru_cache(maxsize=4)
def _fit_of(facts: Facts) -> Fit:
    return fit_of_runs(facts.boat.fuel_runs, facts.boat.vessel.speed_table)


def fit_of_runs(runs: Sequence[FuelRun], table: Sequence[SpeedPoint]) -> Fit:
    """Her runs against her table. A run whose rpm lies outside the table cannot be compared and is left out.

    One without rpm whose speed lies outside may have lost its rpm: what it used of the table is not known.
    """
    shares = [(run.used_l, expected_l(table, run), np.isnan(run.rpm)) for run in runs]
    inside = [
        (used, NOT_KNOWN if np.isinf(expected) else expected)
        for used, expected, lost in shares
        if lost or not np.isinf(expected)
    ]
    return fitted(*(np.array(column, float) for column in (zip(*inside, strict=True) if inside else ((), ()))))


def burn_words(facts: Facts) -> str:
    """What the burn stands on: "table 9.0 L/h × 1.12 used on 5 runs"."""
    fit, table = fit_of(facts), with_unit(_at_planned_speed(facts), "L/h", 1)
    if fit.runs < LEAST_RUNS:
        few = "no run" if not fit.runs else "1 run" if fit.runs == 1 else f"{fit.runs} runs"
        return f"table {table}, {few} to prove it by"
    if np.isnan(fit.factor):
        return f"table {table}, but what her runs used is not known"
    spread = f"{fit.factor:.2f} of it, the middle half {fit.low:.2f} to {fit.high:.2f}"
    if fit.factor <= 1:
        return f"table {table}; {fit.runs} runs used {spread}, and the worse counts"
    return f"table {table} × {fit.factor:.2f}; {fit.runs} runs used {spread}"


def _factor(fit: Fit) -> float:
    return 1.0 if fit.runs < LEAST_RUNS else float(np.maximum(fit.factor, 1.0))


def expected_l(table: Sequence[SpeedPoint], run: FuelRun) -> float:
    """Litres the table expects of a run, by its rpm, else by its speed; infinite where the table does not reach so far."""
    value, name = (run.rpm, "rpm") if np.isfinite(run.rpm) else (run.speed_mps, "speed_mps")
    burn = _by_table(table, value, name)
    rows = [getattr(row, name) for row in table]
    whole = bool(rows) and bool(np.isfinite(rows).all())
    outside = np.isnan(burn) and np.isfinite(value) and whole and not min(rows) <= value <= max(rows)
    return float("inf") if outside else burn * run.run_h


def _at_planned_speed(facts: Facts) -> float:
    return _by_table(facts.boat.vessel.speed_table, facts.leg.speed_mps, "speed_mps")


def _by_table(table: Sequence[SpeedPoint], value: float, name: str) -> float:
    """Litres an hour by a column of her speed table; NaN outside it and where a row has a gap."""
    column, burns = (np.array([getattr(row, one) for row in table]) for one in (name, "burn_l_per_h"))
    whole = column.size > 0 and bool(np.isfinite(column + burns).all())
    return float(np.asarray(burn_at(value, column, burns))) if whole else NOT_KNOWN
