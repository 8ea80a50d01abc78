"""The leg as a table, on the worked example: 6 h 52 min 28 s by plan, 7.6 to 5.5 kn over the ground."""

from datetime import UTC, datetime

import msgspec
import numpy as np
import pytest

from readiness.rules.engine import Judged, judge
from readiness.rules.facts import Facts, changed
from readiness.views.leg_table import LegRow, leg_rows
from tests.factories.worked_example import worked_example
from vessel.calc.wording import knots


@pytest.fixture(scope="module")
def judged() -> Judged:
    return judge(worked_example(1))


@pytest.fixture(scope="module")
def rows(judged: Judged) -> list[LegRow]:
    return leg_rows(judged, 0)


def with_forecast_gone(facts: Facts) -> Facts:
    return changed(facts, water=msgspec.structs.replace(facts.water, forecast=None))


def test_a_row_for_each_point_and_no_way_to_the_first(rows: list[LegRow]) -> None:
    assert [row.number for row in rows] == [1, 2, 3, 4, 5, 6]
    assert rows[0].way is None
    assert all(row.way is not None for row in rows[1:])


def test_speeds_over_the_ground_as_worked_by_hand(rows: list[LegRow]) -> None:
    assert [knots(row.way.sog_mps, 1) for row in rows if row.way] == ["7.6 kn", "6.6 kn", "5.5 kn", "7.5 kn", "7.2 kn"]


def test_she_arrives_by_plan_and_late_as_worked_by_hand(rows: list[LegRow]) -> None:
    there = [datetime.fromtimestamp(round(at), UTC) for at in (rows[-1].plan_at, rows[-1].late_at)]

    assert [at.strftime("%H:%M:%S") for at in there] == ["13:22:28", "14:37:12"]


def test_the_fuel_at_the_end_is_the_fuel_the_leg_needs(rows: list[LegRow]) -> None:
    assert rows[0].fuel_l == 0
    assert rows[-1].fuel_l == pytest.approx(61.9, abs=0.05)
    assert np.all(np.diff([row.fuel_l for row in rows]) > 0)


def test_the_stream_is_told_fair_and_foul_and_the_sea_as_seen_from_aboard(rows: list[LegRow]) -> None:
    skarn = rows[3].way

    assert skarn is not None
    assert (skarn.runs, knots(skarn.helps_mps, 1), round(skarn.set_deg)) == ("foul", "1.5 kn", 270)
    assert (round(skarn.sea_m, 2), skarn.sea_from) == (1.19, "astern")
    assert [row.way.runs for row in rows if row.way] == ["fair", "foul", "foul", "fair", "fair"]


def test_a_stream_along_the_course_needs_no_other_course_to_steer(rows: list[LegRow]) -> None:
    assert all(row.way.steer_deg == pytest.approx(row.way.course_deg, abs=1e-6) for row in rows if row.way)


def test_a_stream_across_the_course_is_met_by_the_course_to_steer(judged: Judged) -> None:
    facts = judged.facts
    north = tuple(
        msgspec.structs.replace(stream, set_deg=np.zeros_like(stream.set_deg)) for stream in facts.water.streams
    )
    across = changed(facts, water=msgspec.structs.replace(facts.water, streams=north))

    way = leg_rows(judge(across), 0)[3].way

    assert way is not None
    assert way.steer_deg == pytest.approx(90 + np.degrees(np.arcsin(1.5 / 7.0)), abs=0.05)
    assert way.runs == ""


def test_without_a_forecast_wind_and_sea_are_not_known_and_never_nought(judged: Judged) -> None:
    rows = leg_rows(judge(with_forecast_gone(judged.facts)), 0)

    for row in rows[1:]:
        assert row.way is not None
        assert np.isnan([row.way.wind_mps, row.way.wind_from_deg, row.way.force, row.way.sea_m]).all()
        assert row.way.sea_from == ""


def test_without_streams_nobody_can_tell_the_time_nor_the_fuel(judged: Judged) -> None:
    facts = changed(judged.facts, water=msgspec.structs.replace(judged.facts.water, streams=()))

    last = leg_rows(judge(facts), 0)[-1]

    assert last.way is not None
    assert np.isnan([last.plan_at, last.late_at, last.fuel_l, last.way.sog_mps, last.way.rate_mps]).all()
    assert last.light == ""


def test_a_point_deep_by_the_chart_says_so(judged: Judged) -> None:
    points = tuple(msgspec.structs.replace(point, depth_matters=False) for point in judged.facts.leg.points)
    facts = changed(judged.facts, leg=msgspec.structs.replace(judged.facts.leg, points=points))

    assert all(row.is_deep for row in leg_rows(judge(facts), 0))
