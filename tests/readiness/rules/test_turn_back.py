"""The last moment to turn back: which bound comes first, when it is a condition, what is not known, and the words."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from readiness.calc.daylight import CIVIL, sun_events
from readiness.calc.turn_back import turn_back as by_hand
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.passage import Passage, Standing
from readiness.rules.turn_back import BOUNDS, RULE, last_turn
from readiness.rules.under_way import passage_of
from readiness.rules.words_of_trade import GateKind
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import gate as made_gate
from tests.factories.worked_water import steady
from tests.readiness.rules.alter import (
    at_worst,
    demand,
    fuel,
    gate,
    leg,
    outcome,
    place,
    sentence,
    tank,
    vessel,
    water,
    worst,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import DAY, HOUR, KNOT, NAUTICAL_MILE

NAN = float("nan")
LEAVES = datetime(2027, 5, 15, 6, 30, tzinfo=UTC).timestamp()
HIGH_WATER = datetime(2027, 5, 15, 13, 54, tzinfo=UTC).timestamp()
EVENING = 43


def home_gate(after_s: float, *, entry_s: float = 0.0, facts: Facts | None = None) -> Facts:
    """The leg from a home whose lock shuts so long after the departure."""
    held = facts or worked_example(1)
    lock: Gate = made_gate(
        "home-lock", "Home lock", GateKind.LOCK, "ostrel", before_h=9.0, after_h=(LEAVES + after_s - HIGH_WATER) / HOUR,
        last_entry_s=entry_s,
    )  # fmt: skip
    return place(water(held, gates=(*held.water.gates, lock)), "ostrel", gates=("home-lock",))


def in_a_fair_stream(facts: Facts) -> Facts:
    """Half a knot toward the east all the way."""
    names = ("first", "second", "skarn", "fourth", "fifth")
    return water(facts, streams=tuple(steady(name, 0.5) for name in names))


def test_in_a_steady_stream_it_is_the_sum_done_by_hand(judged: Judged) -> None:
    facts = in_a_fair_stream(home_gate(5 * HOUR))

    (found,) = judged(RULE, facts)

    turn_at, away = by_hand(LEAVES, LEAVES + 5 * HOUR, 7.5 * KNOT, 6.5 * KNOT)
    assert demand(found) == pytest.approx(float(np.asarray(away)), abs=30.0)
    assert demand(found) / NAUTICAL_MILE == pytest.approx(17.4, abs=0.05)
    assert last_turn(facts, passage_of(facts)).at[0] == pytest.approx(float(np.asarray(turn_at)), abs=20.0)
    assert sentence([found]) == (
        "Last moment to turn back to Ostrel Haven: Sat 15 May 09:49 (08:49 UTC), mile 17.4, on the way from "
        "Brannowmouth, off to Skarn Narrows, in, before its gate shuts."
    )
    assert found.say(0).title == "Decide by 09:49"


def test_last_entry_is_taken_off() -> None:
    early, late = (
        last_turn(facts, passage_of(facts)).at[0]
        for facts in (home_gate(5 * HOUR, entry_s=1800.0), home_gate(4.5 * HOUR))
    )

    assert early == pytest.approx(late, abs=1.0)


def test_a_home_open_lit_and_with_fuel_leaves_no_last_moment(judged: Judged) -> None:
    found = judged(RULE, worked_example(1))

    assert worst(found) == Outcome.PASSED
    assert sentence(found) == "By plan she could turn back to Ostrel Haven all the way."


@pytest.mark.parametrize(
    ("facts", "index", "bound"),
    [
        (home_gate(5 * HOUR), 0, 0),
        (place(worked_example(44), "ostrel", lit=False), EVENING, 1),
        (place(worked_example(44), "ostrel", lit=None), EVENING, 1),
        (fuel(worked_example(1), 100.0), 0, 2),
        (fuel(place(home_gate(6 * HOUR), "ostrel", lit=False), 100.0), 0, 2),
        (fuel(home_gate(5 * HOUR), 100.0), 0, 0),
    ],
)
def test_the_earliest_of_gate_dusk_and_fuel_sets_it(facts: Facts, index: int, bound: int) -> None:
    turn = last_turn(facts, passage_of(facts))

    assert turn.bound[index] == bound
    assert BOUNDS[bound] in sentence(list(RULE.judge(facts, passage_of(facts), facts.limits)), index)


def test_dusk_is_that_at_home_after_leaving() -> None:
    facts = place(worked_example(1), "ostrel", lit=False)

    turn = last_turn(facts, passage_of(facts))

    dusk = sun_events(46.5, -15.0, LEAVES, LEAVES + DAY, CIVIL).closes_at[0]
    assert turn.by[0] == pytest.approx(dusk, abs=1.0)


def test_who_leaves_an_unlit_home_in_the_dark_cannot_come_back_to_it(judged: Judged) -> None:
    facts = place(worked_example(70), "ostrel", lit=False)

    found = judged(RULE, facts)

    assert demand(found[0], 69) == 0.0
    assert outcome(found[0], 69) >= Outcome.ADVICE


def test_fuel_sets_it_where_a_quarter_more_than_was_burnt_is_left() -> None:
    facts = fuel(worked_example(1), 100.0)

    turn = last_turn(facts, passage_of(facts))

    sure_l = 100.0 - 25.0 - 0.03 * 450.0
    assert turn.by[0] - LEAVES == pytest.approx(sure_l / (1.25 * 9.0) * HOUR)


def bare_after(facts: Facts, after_s: float) -> tuple[Facts, Passage]:
    """The passage with no refuge in reach from so long after leaving."""
    passage = passage_of(facts)
    standing = np.full_like(passage.refuges.standing, Standing.USABLE)
    standing[:, passage.refuges.looks.at >= LEAVES + after_s] = Standing.NONE
    return facts, replace(passage, refuges=replace(passage.refuges, standing=standing))


def rising(passage: Passage, knots: float = 0.0, metres: float = 0.0) -> Passage:
    """The passage with more wind and sea in the second half of the way."""
    half = passage.track.step_along_m > 24 * NAUTICAL_MILE
    weather = replace(
        passage.weather,
        wind_mps=np.where(half, 10 * KNOT + knots * KNOT, 10 * KNOT) * np.ones((passage.departures, 1)),
        sea_m=np.where(half, 1.0 + metres, 1.0) * np.ones((passage.departures, 1)),
    )
    return replace(passage, weather=weather)


@pytest.mark.parametrize(
    ("bare_from_s", "knots", "metres", "expected"),
    [
        (3 * HOUR, 2.01, 0.0, Outcome.CONDITION), (3 * HOUR, 1.99, 0.0, Outcome.ADVICE),
        (3 * HOUR, 0.0, 0.21, Outcome.CONDITION), (3 * HOUR, 0.0, 0.19, Outcome.ADVICE),
        (3 * HOUR, NAN, 0.0, Outcome.CONDITION), (3 * HOUR, 0.0, NAN, Outcome.CONDITION),
        (9 * HOUR, 5.0, 1.0, Outcome.ADVICE),
    ],
)  # fmt: skip
def test_it_is_a_condition_where_it_gets_worse_with_no_refuge_ahead(
    judged: Judged, bare_from_s: float, knots: float, metres: float, expected: Outcome
) -> None:
    facts, passage = bare_after(home_gate(4 * HOUR), bare_from_s)

    found = judged(RULE, facts, rising(passage, knots, metres))

    assert worst(found) == expected
    assert ("gets worse" in sentence(found)) == (expected == Outcome.CONDITION)


def test_a_spell_without_refuge_before_the_turn_does_not_count(judged: Judged) -> None:
    facts = home_gate(8 * HOUR)
    passage = passage_of(facts)
    standing = np.full_like(passage.refuges.standing, Standing.USABLE)
    standing[:, passage.refuges.looks.at < LEAVES + HOUR] = Standing.NONE
    gone = replace(rising(passage, 5.0), refuges=replace(passage.refuges, standing=standing))

    assert worst(judged(RULE, facts, gone)) == Outcome.ADVICE


@pytest.mark.parametrize(
    ("damage", "cause"),
    [
        (lambda facts: gate(facts, "home-lock", before_s=NAN), ("gate", "home-lock")),
        (lambda facts: gate(facts, "home-lock", last_entry_s=NAN), ("gate", "home-lock")),
        (lambda facts: gate(facts, "home-lock", station=None), ("tide", "")),
        (lambda facts: place(facts, "ostrel", gates=("lost",)), ("gate", "lost")),
        (lambda facts: leg(facts, departure_place="nowhere"), ("place", "nowhere")),
        (lambda facts: place(facts, "ostrel", lat_deg=NAN), ("place", "ostrel")),
        (lambda facts: tank(facts, unusable_l=NAN), ("tank", "fuel")),
        (lambda facts: vessel(facts, speed_table=()), ("tank", "fuel")),
        (lambda facts: water(facts, streams=facts.water.streams[1:]), ("stream", "")),
    ],
)
def test_what_is_missing_is_the_finding(
    judged: Judged, damage: Callable[[Facts], Facts], cause: tuple[str, str]
) -> None:
    found = at_worst(judged(RULE, damage(home_gate(5 * HOUR))))

    assert (outcome(found), found.cause) == (Outcome.UNKNOWN, cause)


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    found = judged(RULE, leg(home_gate(HOUR), harbour_move=True))

    assert [(one.applies, worst([one])) for one in found] == [(False, Outcome.PASSED)]


def test_a_condition_may_be_waived_for_one_leg() -> None:
    assert RULE.waive == {Outcome.CONDITION: Waive.ONE_LEG}
