"""The way out must pass too: each thing asked of a place, on either side of its limit, and why one fails, in words."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Sector
from readiness.rules.gate_on_arrival import RULE as GATE
from readiness.rules.judgement import Outcome
from readiness.rules.mean_wind import RULE as WIND
from readiness.rules.record import Array
from readiness.rules.under_way import passage_of
from readiness.rules.way_out import passes, place_of, refuge_in_reach, why_no_refuge, why_not_there
from readiness.rules.words_of_trade import Confidence
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import longitude
from tests.readiness.rules.alter import (
    at_worst,
    forecast,
    fuel,
    gate,
    leg,
    limits,
    outcome,
    person,
    place,
    sentence,
    tank,
    vessel,
    water,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, KNOT

NAN = float("nan")
EVENING = 43


def only(key: str = "vessary", departures: int = 1, **parts: Any) -> Facts:
    """The leg with one place besides the destination; she comes from nowhere known."""
    facts = leg(worked_example(departures), refuges=(key,), departure_place="nowhere")
    return place(facts, key, **parts)


def good(facts: Facts, node: int = 44, index: int = 0) -> bool:
    return bool(refuge_in_reach(facts, passage_of(facts), node)[index])


def why(facts: Facts, node: int = 44, index: int = 0) -> str:
    return why_no_refuge(facts, passage_of(facts), node, index)


def test_a_sheltered_place_by_day_passes_and_needs_no_words() -> None:
    assert good(only())
    assert why(only()) == "No way out is named."


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (lambda facts: place(facts, "vessary", charted_m=-3.0), "too little water"),
        (lambda facts: place(facts, "vessary", charted_m=NAN), "water not known"),
        (lambda facts: place(facts, "vessary", gates=("lost",)), "lost not known"),
        (lambda facts: place(facts, "vessary", shelter=(Sector(from_deg=0.0, to_deg=90.0),)), "open to the wind"),
        (lambda facts: water(facts, forecast=None), "shelter not known"),
        (lambda facts: forecast(facts, wind_east_mps=28 * KNOT), "wind 28 kn on the way there"),
        (lambda facts: forecast(facts, gust_mps=34 * KNOT), "gusts 34 kn on the way there"),
        (lambda facts: forecast(facts, gust_mps=NAN), "gusts not forecast there"),
        (lambda facts: forecast(facts, wave_height_m=2.44), "sea 2.4 m on the way there"),
        (lambda facts: forecast(facts, wave_height_m=NAN), "sea not forecast there"),
        (lambda facts: vessel(facts, loa_m=NAN), "sea 0.9 m on the way there"),
        (lambda facts: fuel(facts, 114.9), "74 L to be there after 8 h 13 min, 76 L surely aboard"),
        (lambda facts: tank(facts, gauge=None), "fuel not known"),
        (lambda facts: leg(facts, speed_mps=0.0), "when she is there is not known"),
    ],
)
def test_each_thing_asked_of_it_keeps_her_out_and_is_told(change: Callable[[Facts], Facts], reason: str) -> None:
    facts = change(only())

    assert not good(facts)
    assert reason in why(facts)
    assert why(facts).startswith("No way out passes (Vessary Roads: ")


@pytest.mark.parametrize(
    "change",
    [
        lambda facts: forecast(facts, wind_east_mps=27.99 * KNOT),
        lambda facts: forecast(facts, gust_mps=33.99 * KNOT),
        lambda facts: forecast(facts, wave_height_m=2.439),
        lambda facts: fuel(facts, 132.0),
    ],
)
def test_on_the_good_side_of_each_limit_it_passes(change: Callable[[Facts], Facts]) -> None:
    assert good(change(only()))


@pytest.mark.parametrize(
    ("limit", "value"), [("gust_no_go_mps", 30 * KNOT), ("mean_wind_no_go_mps", 23 * KNOT), ("sea_no_go_loa", 0.15)]
)
def test_the_skippers_own_limits_count(limit: str, value: float) -> None:
    facts = forecast(only(), wind_east_mps=25 * KNOT, gust_mps=32 * KNOT, wave_height_m=2.0)

    assert good(facts)
    assert not good(limits(facts, **{limit: value}))


def test_a_forecast_that_is_unsure_of_itself_takes_a_fifth_off() -> None:
    facts = forecast(only(), gust_mps=28 * KNOT)

    assert good(facts)
    assert not good(forecast(facts, confidence=Confidence.LOW))


@pytest.mark.parametrize(
    ("familiar", "lit", "passed", "reason"),
    [
        (True, False, True, ""), (False, True, False, "strange in the dark"),
        (False, False, False, "strange and unlit in the dark"), (None, None, False, "strange and unlit in the dark"),
    ],
)  # fmt: skip
def test_a_strange_place_in_the_dark_is_no_way_out(
    familiar: bool | None, lit: bool | None, passed: bool, reason: str
) -> None:
    facts = only(departures=44, familiar=familiar, lit=lit)

    assert good(facts, index=EVENING) == passed
    assert reason in why(facts, index=EVENING)


def test_the_weather_counts_from_turning_to_being_there() -> None:
    facts = only(familiar=True)
    passage = passage_of(facts)
    held = facts.water.forecast
    assert held is not None
    turns = float(passage.late.node_at[0, 40])
    hour = int((turns - held.at[0].timestamp()) // HOUR)
    gusts = held.gust_mps.copy()
    gusts[hour + 1] = 40 * KNOT  # within an hour of turning, an hour before she is there
    squall = water(facts, forecast=replace(held, gust_mps=gusts))

    assert good(facts, 32)
    assert not good(squall, 40)
    assert good(squall, 47)


def test_a_place_too_far_off_for_the_forecast_of_the_track_is_none() -> None:
    assert good(only(lat_deg=46.5 - 14 / 60))
    assert not good(only(lat_deg=46.5 - 16 / 60))


def test_hands_for_its_gate_must_be_aboard() -> None:
    facts = gate(only("hallorn", lon_deg=longitude(40)), "hallorn-sill", hands=2, level_m=-9.0)
    alone = person(facts, "Tam", fit=False)

    assert good(facts)
    assert not good(alone)
    assert "hands short at its gate" in why(alone)


def test_the_destination_is_no_way_out_of_itself() -> None:
    facts = leg(worked_example(1), refuges=(), departure_place="nowhere")

    assert not good(facts)


def test_it_does_not_lean_on_another_place() -> None:
    facts = gate(only("hallorn"), "hallorn-sill", level_m=9.0, wait_place="vessary")

    assert not good(facts)
    assert "Hallorn sill shut" in why(facts)


def test_a_wait_place_is_asked_where_she_is() -> None:
    facts = worked_example(44)
    passage, there = passage_of(facts), place_of(facts, "vessary")
    assert there is not None
    at: Array = passage.plan.arrives_at

    assert passes(facts, passage, there, at)[[0, EVENING]].tolist() == [True, False]
    assert why_not_there(facts, passage, there, at, 0) == ""
    assert why_not_there(facts, passage, there, at, EVENING) == (
        "Vessary Roads is no way out: strange and unlit in the dark."
    )


def test_a_gate_she_misses_says_why_the_wait_place_is_none(judged: Judged) -> None:
    facts = gate(worked_example(44), "morrowick-lock", before_s=HOUR, after_s=HOUR)
    held = judged(GATE, facts)

    assert outcome(held[0], EVENING) == Outcome.NO_GO
    assert sentence(held, EVENING).endswith("Vessary Roads is no way out: strange and unlit in the dark.")


def test_a_gate_the_late_figure_misses_says_why_no_refuge_eases_it(judged: Judged) -> None:
    facts = only(shelter=(Sector(from_deg=0.0, to_deg=90.0),))
    plan = passage_of(facts).plan.arrives_at[0]
    high_water = datetime(2027, 5, 15, 13, 54, tzinfo=UTC).timestamp()
    held = judged(GATE, gate(facts, "morrowick-lock", after_s=plan + 1800 - high_water, last_entry_s=0.0))

    assert outcome(held[0]) == Outcome.NO_GO
    assert sentence(held).endswith("No way out passes (Vessary Roads: open to the wind).")


def test_a_wind_only_the_late_figure_meets_says_why_no_refuge_eases_it(judged: Judged) -> None:
    facts = only(shelter=(Sector(from_deg=0.0, to_deg=90.0),))
    held = facts.water.forecast
    assert held is not None
    late = passage_of(facts).plan.arrives_at[0]
    hours = np.array([at.timestamp() for at in held.at])
    east = np.where(hours[:, None] > late, 30 * KNOT, 12 * KNOT) * np.ones((1, 2))
    found = at_worst(judged(WIND, water(facts, forecast=replace(held, wind_east_mps=east))))

    assert outcome(found) == Outcome.NO_GO
    assert "No way out passes (Vessary Roads: " in sentence([found])


def test_a_harbour_move_wants_ten_litres_at_the_place() -> None:
    facts = leg(only(), harbour_move=True)

    assert good(fuel(facts, 10.0 + 38.5))
    assert not good(fuel(facts, 9.99 + 38.5))
