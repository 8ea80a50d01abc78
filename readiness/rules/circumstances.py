"""What of the passage makes a rule stricter: dark, far from refuge, cold water. Each is true, false or not known.

A three-valued answer is a float array [departure]: 1 true, 0 false, NaN not known. It is not taken for good where it
is NaN, and not taken for bad either: `weighed` says where the answer is needed and missing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from readiness.calc.daylight import CIVIL, RISE_AND_SET
from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Outcomes, Test
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from vessel.units import NAUTICAL_MILE, Flags, Floats

POOR_VISIBILITY_M = 2 * NAUTICAL_MILE  # [colregs] asks for lights in restricted visibility; 2 nmi is our own [own]


@dataclass(frozen=True, eq=False)
class Circumstances:
    """Each [departure], three-valued."""

    night: Array  # the sun's centre below -6 degrees at any time
    lights_due: Array
    poor_visibility: Array
    near: Array  # never farther from a refuge than the near limit
    far: Array  # farther than the far limit at some time
    cold: Array
    sheltered: Array  # no exposed segment

    @property
    def easy(self) -> Array:
        """By day, in sheltered water and near a refuge."""
        return all_of(negated(self.night), self.sheltered, self.near)


def circumstances(facts: Facts, passage: Passage) -> Circumstances:
    """The circumstances of every departure; worked out once for the same facts and passage."""
    return _circumstances(facts, passage)


@lru_cache(maxsize=2)
def _circumstances(facts: Facts, passage: Passage) -> Circumstances:
    limits, weather = facts.limits, passage.weather
    poor_visibility = somewhere(np.less, weather.visibility_m, POOR_VISIBILITY_M)
    sunk = holds(np.less, passage.lowest_sun_deg, RISE_AND_SET)
    return Circumstances(
        night=holds(np.less, passage.lowest_sun_deg, CIVIL),
        lights_due=any_of(sunk, poor_visibility),
        poor_visibility=poor_visibility,
        near=holds(np.less_equal, passage.refuge_m, limits.near_m),
        far=holds(np.greater, passage.refuge_m, limits.far_m),
        cold=somewhere(np.less, weather.sea_c, limits.cold_sea_c),
        sheltered=np.full(passage.departures, float(not passage.exposed.any())),
    )


def holds(test: Test, value: Floats, limit: Floats) -> Array:
    """Whether a number passes a test, three-valued."""
    answer = np.asarray(test(value, limit), np.float64)
    return np.where(np.isnan(value) | np.isnan(limit), np.nan, answer)


def somewhere(test: Test, values: Array, limit: Floats) -> Array:
    """Whether any step passes a test, `values[departure, step] -> [departure]`; one that does is enough."""
    return any_step(holds(test, values, limit))


def any_step(answers: Array) -> Array:
    """Whether it is true on any step, `[departure, step] -> [departure]`; false where there are no steps."""
    true = (answers == 1.0).any(axis=-1)
    return np.where(true, 1.0, np.where(np.isnan(answers).any(axis=-1), np.nan, 0.0))


def any_of(*answers: Array) -> Array:
    """True where any is true, else not known where any is not known."""
    return any_step(np.stack(np.broadcast_arrays(*answers), axis=-1))


def all_of(*answers: Array) -> Array:
    """False where any is false, else not known where any is not known."""
    return negated(any_of(*(negated(answer) for answer in answers)))


def negated(answer: Array) -> Array:
    """The contrary; not known stays so."""
    return np.asarray(1.0 - answer)


def weighed(answer: Array, if_so: Outcomes | Outcome, if_not: Outcomes | Outcome) -> tuple[Outcomes, Flags]:
    """The outcome by a three-valued answer, and where the answer is missing and would decide between two.

    There the milder of the two is given: whoever asks adds what is missing as a finding of its own.
    """
    yes, no = (np.broadcast_to(np.asarray(outcome, np.int8), np.shape(answer)) for outcome in (if_so, if_not))
    chosen = np.where(answer == 1.0, yes, np.where(answer == 0.0, no, np.minimum(yes, no)))
    return chosen.astype(np.int8), np.asarray(np.isnan(answer) & (yes != no))


def worst_of(outcomes: Sequence[Outcomes]) -> Outcomes:
    """The worst at each departure."""
    return np.asarray(np.maximum.reduce(list(outcomes)))
