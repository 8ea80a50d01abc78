"""She makes way over the ground."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.makes_way import RULE
from readiness.rules.record import epochs
from readiness.rules.words_of_trade import StreamBy
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, demand, leg, limits, outcome, sentence, vessel, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.calc.wording import metres, toward_limit
from vessel.units import HOUR, KNOT

NAN = float("nan")
SPEED = 0.9 * 7.0  # knots through the water, late


def stream(facts: Facts, key: str, **parts: Any) -> Facts:
    """The facts with something of one stream table replaced."""
    tables = tuple(replace(one, **parts) if one.key == key else one for one in facts.water.streams)
    return water(facts, streams=tables)


def steady(facts: Facts, rate_kn: float, set_deg: float = 270.0) -> Facts:
    """The facts with one steady stream on the fourth segment."""
    rate = np.array([rate_kn * KNOT])
    return stream(facts, "fourth", set_deg=np.array([set_deg]), rate_neaps_mps=rate, rate_springs_mps=rate)


def foul(sog_kn: float) -> float:
    """The stream dead against her in which she makes so much, late: a quarter is added to it."""
    return (SPEED - sog_kn) / 1.25


@pytest.mark.parametrize(
    ("sog_kn", "expected"),
    [
        (2.001, Outcome.PASSED), (1.999, Outcome.CONDITION), (0.501, Outcome.CONDITION), (0.499, Outcome.NO_GO),
        (0.0, Outcome.NO_GO), (-1.0, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_the_slowest_by_the_late_figures_decides(judged: Judged, sog_kn: float, expected: Outcome) -> None:
    found = judged(RULE, steady(worked_example(1), foul(sog_kn)))

    assert worst(found) == expected
    assert demand(found[0]) == pytest.approx(sog_kn * KNOT)


def test_exactly_on_the_limit_passes_and_the_skipper_may_move_it(judged: Judged) -> None:
    facts = worked_example(1)
    slowest = demand(judged(RULE, facts)[0])

    assert worst(judged(RULE, limits(facts, makes_way_passed_mps=min(slowest, 2.6 * KNOT)))) == Outcome.PASSED
    assert worst(judged(RULE, steady(limits(facts, makes_way_passed_mps=2.6 * KNOT), foul(2.5)))) == Outcome.CONDITION


def test_the_slowest_is_the_least_of_every_step_as_worked_out_by_hand(judged: Judged) -> None:
    facts = steady(worked_example(1), 3.0)
    # steady streams along the way, a quarter taken from the fair and added to the foul ones
    by_hand = min(SPEED + 0.75 * 0.6, SPEED - 1.25 * 0.4, SPEED - 1.25 * 3.0, SPEED + 0.75 * 0.2)

    assert demand(judged(RULE, facts)[0]) / KNOT == pytest.approx(by_hand, abs=1e-9)


def test_passed_says_how_slow_she_gets_and_what_is_left(judged: Judged) -> None:
    words = judged(RULE, steady(worked_example(1), 3.0))[0].say(0)

    assert words.title == "She makes way everywhere"
    assert words.sentence.startswith(
        "Slowest over the ground by the late figures 2.5 kn, on the way from Hallorn Pool, off to Thole Bight, off."
    )
    assert words.margin == "0.5 kn"
    assert words.do == ""


def test_no_way_names_place_set_and_rate_and_what_she_makes_herself(judged: Judged) -> None:
    facts = steady(worked_example(1), 6.0)

    assert at_worst(judged(RULE, facts)).say(0).title == "She makes no way"
    told = sentence(judged(RULE, facts))
    assert told.startswith(
        "She makes no way: she is set back on the way from Hallorn Pool, off to Thole Bight, off, from "
    )
    assert "the stream sets 270° at 6.0 kn, against her 6.3 kn." in told


def test_a_stream_across_that_she_cannot_hold_leaves_no_course(judged: Judged) -> None:
    facts = steady(worked_example(1), 6.4, 180.0)

    found = judged(RULE, facts)

    assert worst(found) == Outcome.NO_GO
    assert sentence(found).startswith("She makes no course that holds the track on the way from Hallorn Pool, off")
    assert worst(judged(RULE, steady(worked_example(1), 5.9, 180.0))) == Outcome.PASSED


def test_a_stop_by_the_early_figures_alone_is_a_no_go_too(judged: Judged) -> None:
    facts = vessel(
        steady(worked_example(1), foul(2.5)), early_speed_factor=0.35
    )  # 2.45 kn against 3.04 kn, of which three quarters count

    found = judged(RULE, facts)

    assert demand(found[0]) == pytest.approx(2.5 * KNOT)
    assert worst(found) == Outcome.NO_GO
    assert "less than 0.5 kn over the ground" in sentence(found)


def test_a_stream_that_turns_while_she_is_in_it_is_found(judged: Judged) -> None:
    facts = worked_example(1)
    tide = facts.water.stations[0]
    high = epochs(tide.event_at)[np.array(tide.event_high)]
    start = facts.departures.first.timestamp()
    tide_at = high[np.argmin(np.abs(high - start))]
    # one hour after she has left a foul stream of 4 kn begins, for ten minutes only
    offsets = np.array([-6 * HOUR, start + HOUR - tide_at, start + HOUR + 600 - tide_at])
    rates = np.array([0.0, foul(1.0), 0.0]) * KNOT
    turning = stream(
        facts, "first", steady=False, station="ostrel", from_high_water_s=offsets, set_deg=np.full(3, 270.0),
        rate_neaps_mps=rates, rate_springs_mps=rates, neaps_range_m=1.0, springs_range_m=9.0,
    )  # fmt: skip

    found = judged(RULE, turning)

    assert demand(found[0]) == pytest.approx(1.0 * KNOT)
    assert f"the stream sets 270° at {foul(1.0):.1f} kn" in sentence(found)


def test_it_names_the_nearest_departures_that_will_do(judged: Judged) -> None:
    facts = worked_example(60)
    rates = np.full(3, 6.0 * KNOT)
    facts = stream(facts, "skarn", rate_neaps_mps=rates, rate_springs_mps=rates)

    found = judged(RULE, facts)
    shut = next(one for one in range(1, 59) if outcome(found[0], one) == Outcome.NO_GO)

    good = [one for one in range(60) if outcome(found[0], one) == Outcome.PASSED]
    assert good
    do = found[0].say(shut).do
    assert do.startswith("Leave at another time: ")
    assert do.count("UTC") == len(
        {max((g for g in good if g < shut), default=None), min((g for g in good if g > shut), default=None)} - {None}
    )


def test_with_no_departure_that_does_better_it_says_so(judged: Judged) -> None:
    assert at_worst(judged(RULE, steady(worked_example(1), 6.0))).say(0).do == "No departure judged here does better."


ASK_STREAM = "Enter a stream table for this part of the way, or the tide it hangs on."


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        (leg(worked_example(1), speed_mps=NAN), "her speed is not known"),
        (vessel(worked_example(1), late_speed_factor=NAN), "her speed is not known"),
        (vessel(worked_example(1), slip_s=NAN), "her late times are not known"),
        (stream(worked_example(1), "fourth", rate_neaps_mps=np.array([NAN])), "The stream on the way from Hallorn Pool, off"),
        (water(worked_example(1), streams=()), "The stream on the way from Ostrel Haven"),
    ],
)  # fmt: skip
def test_what_is_not_known_is_named(judged: Judged, facts: Facts, told: str) -> None:
    found = judged(RULE, facts)

    assert worst(found) == Outcome.UNKNOWN
    assert told in sentence(found)
    assert at_worst(found).say(0).do == ("Give her speed in the plan." if "her speed" in told else ASK_STREAM)


@pytest.mark.parametrize(
    ("springs", "neaps", "held", "words"),
    [
        (+0.01, -1.0, False, ""), (-0.1, -2.0, False, "beyond springs"), (+3.0, +0.1, False, "below neaps"),
        (-0.1, -2.0, True, "beyond springs"),
    ],
)  # fmt: skip
def test_a_tide_beyond_springs_or_below_neaps_is_told_with_what_was_done(
    judged: Judged, springs: float, neaps: float, held: bool, words: str
) -> None:
    facts = worked_example(1)
    tide, at = facts.water.stations[0], facts.departures.first.timestamp() + 3 * HOUR
    moments = epochs(tide.event_at)
    highs = np.flatnonzero(tide.event_high)
    nearest = highs[np.argmin(np.abs(moments[highs] - at))]
    range_m = tide.event_m[nearest] - (tide.event_m[nearest - 1] + tide.event_m[nearest + 1]) / 2
    altered = stream(
        facts, "skarn", springs_range_m=range_m + springs, neaps_range_m=range_m + neaps, rates_held_beyond=held
    )

    told = sentence(judged(RULE, altered))

    kept = "rate held" if held else "rate carried on"
    limit = range_m + (springs if "springs" in words else neaps)
    expected = f"Skarn Narrows: range {toward_limit(range_m, limit, 1)} m is {words}, {metres(limit, 1)}: {kept}."
    assert told.endswith(expected) if words else "range" not in told


def test_a_harbour_move_does_not_ask_and_a_no_go_is_never_waived(judged: Judged) -> None:
    found = judged(RULE, leg(steady(worked_example(1), 6.0), harbour_move=True))

    assert worst(found) == Outcome.PASSED
    assert RULE.waive == {Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG}


def test_a_way_too_far_from_any_table_says_how_near_one_must_be(judged: Judged) -> None:
    facts = worked_example(1)
    segments = tuple(replace(segment, stream_by=StreamBy.NEAREST) for segment in facts.leg.segments)

    found = judged(RULE, leg(facts, segments=segments))  # no table says where it was observed

    assert worst(found) == Outcome.UNKNOWN
    assert sentence(found).startswith("The stream on the way from Ostrel Haven to Brannowmouth, off is not known: ")
    assert "no stream table lies within 10 nmi." in sentence(found)
