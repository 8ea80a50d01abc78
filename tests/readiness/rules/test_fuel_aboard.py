"""What she burns: the worse of table and runs, what cannot be compared, and what the burn stands on, in words."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.facts_boat import FuelRun
from readiness.rules.fuel_aboard import burn_l_per_h, burn_words, fit_of
from readiness.rules.fuel_reserve import RULE
from readiness.rules.judgement import Outcome
from readiness.rules.under_way import passage_of
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import at_worst, boat, fuel, leg, vessel, worst
from tests.readiness.rules.conftest import Judged
from vessel.calc.wording import duration
from vessel.units import HOUR, KNOT

NAN = float("nan")
NEED_L = 9.0 * (6 + 52 / 60 + 27.942544 / 3600)
NOT_SURE_L = 25 + 0.03 * 450


def run(share: float, *, rpm: float = 1800.0, speed_mps: float = NAN, run_h: float = 6.0) -> FuelRun:
    """A run that used so much of what the table expects at 1,800 rpm or 7 kn."""
    return FuelRun(at=JUDGED_AT, run_h=run_h, used_l=9.0 * run_h * share, rpm=rpm, speed_mps=speed_mps)


def after(*shares: float) -> Facts:
    return boat(worked_example(1), fuel_runs=tuple(run(share) for share in shares))


@pytest.mark.parametrize(
    ("shares", "burn"),
    [
        ((), 9.0), ((1.5, 1.5), 9.0), ((1.1, 1.2, 1.3), 10.8), ((0.8, 0.9, 1.0), 9.0), ((1.0, 1.0, 1.0), 9.0),
        ((1.0, 1.1, 9.0), 9.9),
    ],
)  # fmt: skip
def test_the_worse_of_table_and_runs_counts_from_three_runs_on(shares: tuple[float, ...], burn: float) -> None:
    assert burn_l_per_h(after(*shares)) == pytest.approx(burn)


@pytest.mark.parametrize(
    ("shares", "words"),
    [
        ((), "table 9.0 L/h, no run to prove it by"),
        ((1.0,), "table 9.0 L/h, 1 run to prove it by"),
        ((1.0, 1.0), "table 9.0 L/h, 2 runs to prove it by"),
        ((1.1, 1.2, 1.3), "table 9.0 L/h × 1.20; 3 runs used 1.20 of it, the middle half 1.15 to 1.25"),
        ((0.8, 0.9, 1.0),
         "table 9.0 L/h; 3 runs used 0.90 of it, the middle half 0.85 to 0.95, and the worse counts"),
        ((1.0, 1.0, NAN), "table 9.0 L/h, but what her runs used is not known"),
    ],
)  # fmt: skip
def test_it_says_what_the_burn_stands_on(judged: Judged, shares: tuple[float, ...], words: str) -> None:
    facts = after(*shares)

    told = dict(at_worst(judged(RULE, facts)).say(0).sums)

    assert burn_words(facts) == words
    assert told["What the burn stands on"] == words


def test_a_run_is_weighed_by_its_rpm_else_by_its_speed() -> None:
    by_speed = tuple(run(1.2, rpm=NAN, speed_mps=7 * KNOT) for _ in range(3))
    between = tuple(replace(run(1.0), rpm=1650.0, used_l=7.1 * 6.0 * 1.2) for _ in range(3))

    for runs in (by_speed, between):
        assert fit_of(boat(worked_example(1), fuel_runs=runs)).factor == pytest.approx(1.2)


@pytest.mark.parametrize("rpm", [1499.0, 2201.0])
def test_a_run_outside_the_table_cannot_be_compared_and_is_left_out(rpm: float) -> None:
    facts = boat(worked_example(1), fuel_runs=(*after(1.3, 1.3).boat.fuel_runs, run(1.3, rpm=rpm)))

    assert fit_of(facts).runs == 2
    assert burn_l_per_h(facts) == 9.0


def test_a_run_that_may_have_lost_its_rpm_is_not_left_out_for_its_speed() -> None:
    slow = tuple(run(1.3, speed_mps=5.0 * KNOT) for _ in range(3))
    known = boat(worked_example(1), fuel_runs=slow)
    lost = boat(worked_example(1), fuel_runs=(replace(slow[0], rpm=NAN), *slow[1:]))

    assert fit_of(known).factor == pytest.approx(1.3)
    assert np.isnan(burn_l_per_h(lost))


@pytest.mark.parametrize("row", [0, 1, 2])
def test_a_table_that_lost_an_rpm_leaves_no_run_out(row: int) -> None:
    facts = after(1.3, 1.3, 1.3)
    rows = list(facts.boat.vessel.speed_table)
    rows[row] = replace(rows[row], rpm=NAN)

    assert np.isnan(burn_l_per_h(vessel(facts, speed_table=tuple(rows))))


@pytest.mark.parametrize("lost", [{"used_l": NAN}, {"run_h": NAN}, {"rpm": NAN}])
def test_a_run_with_a_gap_leaves_the_burn_not_known(judged: Judged, lost: dict[str, float]) -> None:
    good = after(1.3, 1.3, 1.3).boat.fuel_runs
    facts = boat(worked_example(1), fuel_runs=(replace(good[0], **lost), *good[1:]))

    assert np.isnan(burn_l_per_h(facts))
    assert worst(judged(RULE, facts)) == Outcome.UNKNOWN


@pytest.mark.parametrize(("times", "expected"), [(1.501, Outcome.PASSED), (1.499, Outcome.CONDITION)])
def test_the_need_grows_with_what_she_really_uses(judged: Judged, times: float, expected: Outcome) -> None:
    facts = fuel(after(1.2, 1.2, 1.2), times * 1.2 * NEED_L + NOT_SURE_L)

    assert worst(judged(RULE, facts)) == expected


def test_a_table_with_a_gap_says_nothing_of_runs_or_burn() -> None:
    facts = after(1.0, 1.0, 1.0)
    rows = facts.boat.vessel.speed_table
    gap = vessel(facts, speed_table=(replace(rows[0], burn_l_per_h=NAN), *rows[1:]))

    assert np.isnan(burn_l_per_h(gap))


@pytest.mark.parametrize(("litres", "expected"), [(0.01, Outcome.PASSED), (-0.01, Outcome.NO_GO)])
def test_the_way_to_the_farthest_refuge_used_must_be_covered(judged: Judged, litres: float, expected: Outcome) -> None:
    # with home as the only refuge she may have to run all the way back from the end of the leg
    facts = leg(worked_example(1), refuges=("ostrel",), departure_place="nowhere", arrival_place="nowhere")
    longest_h = float(passage_of(facts).refuge_s[0]) / HOUR
    facts = fuel(facts, 9.0 * longest_h + litres + NOT_SURE_L)

    found = judged(RULE, facts)

    assert longest_h == pytest.approx(6.87 + 48 / 6.3, abs=0.1)
    assert worst(found) == expected
    assert f"To the farthest refuge used: {duration(longest_h * HOUR)}" in dict(found[0].say(0).sums)
