"""What the page of speed and fuel reads: which runs count, what the table expects of them, who wrote them down."""

import math
from datetime import timedelta
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.queries.facts_boat import RUNS
from readiness.queries.speed import speed_of
from readiness.rules.fuel_aboard import fit_of
from tests.factories.readiness import again, stored
from tests.factories.vessel import AT, BY, SOUND, a_vessel
from tests.factories.worked_example import worked_example
from vessel.models import FuelUse, Pseudonym, SeaSpeed, SpeedPoint, Vessel
from vessel.units import KNOT

pytestmark = pytest.mark.django_db
TABLE = ((1500, 6.0, 5.2), (1800, 7.0, 9.0), (2200, 7.8, 16.0))


@pytest.fixture
def vessel() -> Vessel:
    made = a_vessel()
    for rpm, knots, burn in TABLE:
        SOUND[SpeedPoint](vessel=made, rpm=rpm, speed_mps=knots * KNOT, burn_l_per_h=burn)
    return made


def run(vessel: Vessel, days: int = 0, **fields: Any) -> FuelUse:
    """Six hours at 1,800 rpm, of which the table expects 54 litres."""
    made: FuelUse = SOUND[FuelUse](vessel=vessel, at=AT - timedelta(days=days), **fields)
    return made


def test_a_run_is_held_against_the_table_by_its_rpm_else_by_its_speed(vessel: Vessel) -> None:
    run(vessel, 1, used_l=56.7)
    run(vessel, 2, mean_rpm=None, mean_speed_mps=6.5 * KNOT, used_l=42.6)

    told = speed_of(vessel.pk).counted

    assert [one.hours for one in told] == [6.0, 6.0]
    assert [one.expected_l for one in told] == pytest.approx([54.0, 42.6])
    assert [one.share for one in told] == pytest.approx([1.05, 1.0])


def test_a_run_outside_the_table_is_not_compared_and_one_beside_a_gap_is_not_known(vessel: Vessel) -> None:
    run(vessel, mean_rpm=2300)

    assert math.isinf(speed_of(vessel.pk).counted[0].expected_l)
    assert speed_of(vessel.pk).fit.runs == 0

    run(vessel, 1)
    SpeedPoint.objects.filter(rpm=2200).update(burn_l_per_h=None)

    assert math.isnan(speed_of(vessel.pk).counted[1].expected_l)


def test_the_newest_runs_count_and_older_and_struck_ones_stay_readable(vessel: Vessel) -> None:
    for days in range(RUNS + 1):
        run(vessel, days, used_l=54.0 * (3.0 if days == RUNS else 1.1))
    struck = run(vessel, 3, used_l=540.0, struck_at=AT, struck_by=BY)

    told = speed_of(vessel.pk)

    assert (len(told.counted), len(told.older), [one.use for one in told.struck]) == (RUNS, 1, [struck])
    assert told.older[0].share == pytest.approx(3.0)
    assert (told.fit.runs, told.fit.factor, told.fit.low, told.fit.high) == (RUNS, *[pytest.approx(1.1)] * 3)


def test_runs_outside_the_table_take_no_place_from_those_that_count(vessel: Vessel) -> None:
    for days in range(RUNS):
        run(vessel, days, mean_rpm=9000)
    for days in range(RUNS, 2 * RUNS + 1):
        run(vessel, days, used_l=59.4)

    told = speed_of(vessel.pk)

    assert told.fit.runs == RUNS
    assert told.fit.factor == pytest.approx(1.1)
    assert (len(told.counted), len(told.older)) == (2 * RUNS, 1)


def test_the_fit_is_the_one_a_leg_of_hers_is_judged_with() -> None:
    put_in = worked_example(1)
    leg = stored(put_in)
    FuelUse.objects.all().delete()
    for days in range(RUNS + 2):
        run(leg.vessel, days, used_l=54.0 + days, mean_rpm=1800 + 40 * (days % 3))
    run(leg.vessel, 1, used_l=540.0, struck_at=AT, struck_by=BY)
    run(leg.vessel, 2, mean_rpm=9000)

    told, judged = speed_of(leg.vessel_id).fit, fit_of(again(leg, put_in))

    assert told == judged
    assert told.runs == RUNS
    assert told.factor > 0


def test_who_wrote_and_who_struck_is_told_by_name_until_it_is_erased(vessel: Vessel) -> None:
    run(vessel, struck_at=AT, struck_by="crew-ffffff")
    named = Pseudonym.objects.create(vessel_id=vessel.pk, token=BY, name="Ines Roke")

    told = speed_of(vessel.pk).struck[0]
    Pseudonym.objects.filter(pk=named.pk).update(name="")
    erased = speed_of(vessel.pk).struck[0]

    assert (told.by, told.struck_by, erased.by) == ("Ines Roke", "crew-ffffff", BY)


@pytest.mark.parametrize("rows", [1, 3])
def test_it_costs_the_same_however_much_there_is(
    vessel: Vessel, rows: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(1, rows + 1):
        run(vessel, number)
        SOUND[SeaSpeed](vessel=vessel, height_m=float(number))

    with django_assert_num_queries(4):
        told = speed_of(vessel.pk)

    assert (len(told.points), len(told.seas), len(told.counted)) == (3, rows, rows)


def test_nothing_of_another_vessel_is_told(vessel: Vessel) -> None:
    run(vessel)
    SOUND[SeaSpeed](vessel=vessel)

    told = speed_of(a_vessel().pk)

    assert (told.points, told.seas, told.counted, told.older, told.struck) == ((), (), (), (), ())
