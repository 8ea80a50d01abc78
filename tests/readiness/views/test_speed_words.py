"""Speed and fuel in words: what the runs say, which of table and runs counts, and what is missing."""

from datetime import timedelta

import pytest

from readiness.queries.speed import speed_of
from readiness.rules.facts_boat import FuelRun
from readiness.rules.fuel_aboard import burn_l_per_h, burn_words
from readiness.rules.slowed_by_sea import NO_TABLE
from readiness.views.speed_words import (
    IN_A_SEA,
    NOT_COMPARED,
    OUTSIDE,
    fit_sentence,
    fit_terms,
    gap_sentence,
    run_cells,
    sea_cells,
    sea_sentence,
)
from tests.factories.vessel import AT, SOUND, a_vessel
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import boat
from vessel.models import FuelUse, SeaSpeed, SpeedPoint, Vessel
from vessel.units import KNOT

pytestmark = pytest.mark.django_db


@pytest.fixture
def vessel() -> Vessel:
    made = a_vessel()
    for rpm, knots, burn in ((1500, 6.0, 5.2), (1800, 7.0, 9.0)):
        SOUND[SpeedPoint](vessel=made, rpm=rpm, speed_mps=knots * KNOT, burn_l_per_h=burn)
    return made


def runs(vessel: Vessel, *shares: float) -> None:
    """Six hours each at 1,800 rpm, which used so much of the 54 litres that the table expects."""
    for days, share in enumerate(shares):
        SOUND[FuelUse](vessel=vessel, at=AT - timedelta(days=days), used_l=54.0 * share)


@pytest.mark.parametrize(
    ("shares", "said"),
    [
        ((), "No run can be compared with the table. The table stands as it is; it takes 3 to say more."),
        ((1.5,), "1 run is compared with it. The table stands as it is; it takes 3 to say more."),
        ((1.5, 1.5), "2 runs are compared with it. The table stands as it is; it takes 3 to say more."),
        ((1.1, 1.2, 1.3), ("3 runs used 1.20 of what the table says, the middle half 1.15 to 1.25."
                          " The worse counts: legs are reckoned with the table × 1.20.")),
        ((1.0, 1.0, 1.0), ("3 runs used 1.00 of what the table says, the middle half 1.00 to 1.00."
                          " The worse counts: the table stands as it is.")),
        ((0.7, 0.8, 0.9), ("3 runs used 0.80 of what the table says, the middle half 0.75 to 0.85."
                          " The worse counts: the table stands as it is.")),
    ],
)  # fmt: skip
def test_the_worse_of_table_and_runs_counts_from_three_runs_on(
    vessel: Vessel, shares: tuple[float, ...], said: str
) -> None:
    runs(vessel, *shares)

    assert fit_sentence(speed_of(vessel.pk)) == said


def test_the_page_tells_the_share_that_a_leg_is_judged_with(vessel: Vessel) -> None:
    runs(vessel, 1.1, 1.2, 1.3)
    judged = boat(
        worked_example(1),
        fuel_runs=tuple(
            FuelRun(at=AT, run_h=6.0, used_l=54.0 * share, rpm=1800.0, speed_mps=float("nan"))
            for share in (1.1, 1.2, 1.3)
        ),
    )

    told = speed_of(vessel.pk)

    assert burn_l_per_h(judged) == pytest.approx(9.0 * told.fit.factor)
    assert "× 1.20; 3 runs used 1.20 of it, the middle half 1.15 to 1.25" in burn_words(judged)
    assert "3 runs used 1.20 of what the table says, the middle half 1.15 to 1.25." in fit_sentence(told)


def test_a_gap_in_the_table_makes_the_burn_not_known(vessel: Vessel) -> None:
    runs(vessel, 1.0, 1.0, 1.0)
    SpeedPoint.objects.filter(rpm=1500).update(burn_l_per_h=None)

    told = speed_of(vessel.pk)

    assert gap_sentence(told) == "Fuel burnt at 1500 rpm is not known. So what she burns is not known at any speed."
    assert fit_sentence(told) == "The table has a row without fuel, so what her runs used of it is not known."
    assert fit_terms(told)[:2] == [
        ("Median share of the table", "not known"),
        ("Middle half of the runs", "not known"),
    ]
    assert run_cells(told.counted[0])["share"] == "not known"


def test_a_whole_table_has_no_gap_to_tell(vessel: Vessel) -> None:
    assert gap_sentence(speed_of(vessel.pk)) == ""


def test_without_a_table_there_is_nothing_to_compare_runs_with() -> None:
    vessel = a_vessel()
    runs(vessel, 1.0, 1.0, 1.0)

    assert fit_sentence(speed_of(vessel.pk)) == "There is no speed table to compare runs with."


def test_runs_outside_the_table_are_counted_as_left_out(vessel: Vessel) -> None:
    runs(vessel, 1.0, 1.0)
    SOUND[FuelUse](vessel=vessel, mean_rpm=1801)

    told = speed_of(vessel.pk)
    cells = next(run_cells(run) for run in told.counted if run.use.mean_rpm == 1801)

    assert fit_terms(told)[2:] == [("Compared, the newest 12 at most", "2"), ("Left out", "1 outside the table")]
    assert (cells["expected"], cells["share"]) == (OUTSIDE, NOT_COMPARED)


def test_a_run_is_told_with_its_hours_pace_and_litres(vessel: Vessel) -> None:
    runs(vessel, 1.05)
    SOUND[FuelUse](
        vessel=vessel, at=AT - timedelta(days=2), mean_rpm=None, mean_speed_mps=6.5 * KNOT, from_engine_hours=4190.5
    )

    by_rpm, by_speed = (run_cells(run) for run in speed_of(vessel.pk).counted)

    assert [by_rpm[name] for name in ("meter", "pace", "used", "expected", "share")] == [
        "4,200.0 to 4,206.0 h", "1,800 rpm", "56.7 L", "54.0 L", "1.05",
    ]  # fmt: skip
    assert (by_speed["meter"], by_speed["pace"]) == ("4,190.5 to 4,206.0 h", "6.5 kn")


def test_seas_are_told_in_per_cent_and_without_any_nothing_is_taken_off(vessel: Vessel) -> None:
    nothing = sea_sentence(speed_of(vessel.pk))
    SOUND[SeaSpeed](vessel=vessel, height_m=1.0, ahead=0.9, abeam=0.96, astern=1.0)

    told = speed_of(vessel.pk)

    assert (nothing, sea_sentence(told)) == (NO_TABLE, IN_A_SEA)
    assert sea_cells(told.seas[0])["shares"] == [("Ahead", "90 %"), ("Abeam", "96 %"), ("Astern", "100 %")]
