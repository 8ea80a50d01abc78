"""Fuel surely aboard and what she burns at the speed of the leg: what several rules ask."""

import numpy as np

from readiness.rules.facts import Facts
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array, epoch
from readiness.rules.words_of_trade import GaugeKind
from vessel.calc.fuel import burn_at, surely_aboard

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
    """Litres an hour at the planned speed; NaN outside her speed table."""
    table = sorted(facts.boat.vessel.speed_table, key=lambda row: row.speed_mps)
    speeds, burns = (np.array([getattr(row, name) for row in table]) for name in ("speed_mps", "burn_l_per_h"))
    whole = speeds.size > 0 and bool(np.isfinite(speeds + burns).all())
    return float(np.asarray(burn_at(facts.leg.speed_mps, speeds, burns))) if whole else NOT_KNOWN
