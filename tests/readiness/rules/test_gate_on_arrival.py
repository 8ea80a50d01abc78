"""Lock, sill, bar, narrows or opening bridge open on arrival."""

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.gate_on_arrival import RULE
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.under_way import passage_of
from readiness.rules.words_of_trade import GateKind
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import ALL_ROUND
from tests.readiness.rules.alter import at_worst, forecast, gate, leg, outcome, place, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, KNOT, MINUTE

LOCK = "morrowick-lock"
LATE_OF_HIGH_WATER_S = 43 * MINUTE + 11.93  # late at the lock after high water 13:54
PLAN_OF_HIGH_WATER_S = -(31 * MINUTE + 32.06)
EARLY_OF_HIGH_WATER_S = -(59 * MINUTE + 57)
NAN = float("nan")


def lock(facts: Facts, *, opens_s: float = -3 * HOUR, closes_s: float = 2 * HOUR, entry_s: float = 0.0) -> Facts:
    """The lock open from so long to so long after high water."""
    return gate(facts, LOCK, before_s=-opens_s, after_s=closes_s, last_entry_s=entry_s)


def no_way_out(facts: Facts) -> Facts:
    """The same leg with no place to turn to and none to wait at."""
    return gate(place(leg(facts, refuges=()), "ostrel", charted_m=-9.0), LOCK, wait_place=None)


@pytest.mark.parametrize(
    ("opens_s", "closes_s", "entry_s", "expected"),
    [
        (-3 * HOUR, LATE_OF_HIGH_WATER_S + 2, 0.0, Outcome.PASSED),
        (-3 * HOUR, LATE_OF_HIGH_WATER_S - 2, 0.0, Outcome.NO_GO),
        (-3 * HOUR, LATE_OF_HIGH_WATER_S + 902, 900.0, Outcome.PASSED),
        (-3 * HOUR, LATE_OF_HIGH_WATER_S + 898, 900.0, Outcome.NO_GO),
        (-3 * HOUR, PLAN_OF_HIGH_WATER_S - 60, 0.0, Outcome.NO_GO),
        (EARLY_OF_HIGH_WATER_S - 5, 2 * HOUR, 0.0, Outcome.PASSED),
        (EARLY_OF_HIGH_WATER_S + 5, 2 * HOUR, 0.0, Outcome.ADVICE),
        (PLAN_OF_HIGH_WATER_S + 60, 2 * HOUR, 0.0, Outcome.NO_GO),
        (-3 * HOUR, 2 * HOUR, NAN, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_early_plan_and_late_against_the_window_where_there_is_no_way_out(
    judged: Judged, opens_s: float, closes_s: float, entry_s: float, expected: Outcome
) -> None:
    facts = lock(no_way_out(worked_example(1)), opens_s=opens_s, closes_s=closes_s, entry_s=entry_s)

    assert worst(judged(RULE, facts)) == expected


def test_late_only_is_a_condition_where_a_refuge_passes(judged: Judged) -> None:
    facts = lock(worked_example(1), closes_s=LATE_OF_HIGH_WATER_S - 2)

    assert worst(judged(RULE, facts)) == Outcome.CONDITION
    assert "Leave" in at_worst(judged(RULE, facts)).say(0).do


@pytest.mark.parametrize(
    ("opens_after_plan_s", "shelter", "wait", "expected"),
    [
        (3 * HOUR - 60, ALL_ROUND, "vessary", Outcome.CONDITION), (3 * HOUR + 60, ALL_ROUND, "vessary", Outcome.NO_GO),
        (3 * HOUR - 60, (), "vessary", Outcome.NO_GO), (3 * HOUR - 60, ALL_ROUND, None, Outcome.NO_GO),
        (3 * HOUR - 60, ALL_ROUND, "nowhere", Outcome.NO_GO),
    ],
)  # fmt: skip
def test_shut_by_plan_is_a_condition_where_a_wait_place_passes_and_it_opens_within_three_hours(
    judged: Judged, opens_after_plan_s: float, shelter: tuple[object, ...], wait: str | None, expected: Outcome
) -> None:
    facts = place(worked_example(1), "vessary", shelter=shelter)
    opens_s = PLAN_OF_HIGH_WATER_S + opens_after_plan_s
    facts = gate(lock(facts, opens_s=opens_s, closes_s=5 * HOUR), LOCK, wait_place=wait)

    assert worst(judged(RULE, facts)) == expected


def test_a_strange_wait_place_in_the_dark_is_no_way_out(judged: Judged) -> None:
    facts = worked_example(44)
    shut = lock(place(facts, "vessary", shelter=ALL_ROUND), opens_s=-2 * HOUR)
    familiar = place(shut, "vessary", familiar=True)

    assert worst(judged(RULE, shut), 43) == Outcome.NO_GO
    assert worst(judged(RULE, familiar), 43) == Outcome.CONDITION


def test_it_says_the_times_and_the_margin_rounded_to_the_safe_side(judged: Judged) -> None:
    words = at_worst(judged(RULE, worked_example(1))).say(0)

    assert words.title == "Morrowick lock met with 61 min to spare"
    assert words.sentence == "Morrowick lock: plan 14:22, late 15:37, last entry Sat 15 May 16:39 (15:39 UTC)."


def test_shut_says_when_it_opens(judged: Judged) -> None:
    facts = lock(no_way_out(worked_example(1)), opens_s=PLAN_OF_HIGH_WATER_S + HOUR)

    assert sentence(judged(RULE, facts)) == (
        "Morrowick lock is shut at Sat 15 May 14:22 (13:22 UTC) when she comes by plan; "
        "it opens Sat 15 May 15:22 (14:22 UTC)."
    )


def test_the_keepers_hours_shut_it_too(judged: Judged) -> None:
    hours = {"keeps_hours": True, "opens_local_s": 8 * HOUR, "closes_local_s": 14 * HOUR}  # to 13:00 UTC

    assert worst(judged(RULE, gate(no_way_out(worked_example(1)), LOCK, **hours))) == Outcome.NO_GO
    assert worst(judged(RULE, gate(worked_example(1), LOCK, keeps_hours=None))) == Outcome.UNKNOWN


def test_no_window_held_is_not_known_and_names_what_starves_it(judged: Judged) -> None:
    facts = worked_example(1)

    tideless, ruleless = water(facts, stations=()), gate(facts, LOCK, before_s=NAN)

    assert [(worst(judged(RULE, one)), at_worst(judged(RULE, one)).cause) for one in (tideless, ruleless)] == [
        (Outcome.UNKNOWN, ("tide", "ostrel")), (Outcome.UNKNOWN, ("gate", LOCK)),
    ]  # fmt: skip


def test_a_date_past_the_tide_table_is_not_known_rather_than_shut(judged: Judged) -> None:
    facts = worked_example(1)
    departures = replace(facts.departures, first=datetime(2027, 6, 15, 6, 30, tzinfo=UTC))

    assert worst(judged(RULE, changed(facts, departures=departures))) == Outcome.UNKNOWN


def test_a_harbour_move_asks_and_a_no_go_is_never_waived(judged: Judged) -> None:
    facts = leg(lock(no_way_out(worked_example(1)), closes_s=-HOUR), harbour_move=True)

    assert worst(judged(RULE, facts)) == Outcome.NO_GO
    assert RULE.waive == {Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG}


def kind(facts: Facts, which: GateKind, **parts: Any) -> Facts:
    """The lock turned into another kind of gate."""
    return gate(facts, LOCK, kind=which, **({"last_entry_s": 0.0} | parts))


def narrows(facts: Facts, *rates_kn: float) -> Facts:
    """The lock turned into narrows passed up to 2 kn, with a stream like that of Skarn at rates of its own."""
    rates = np.array(rates_kn) * KNOT
    skarn = next(one for one in facts.water.streams if one.key == "skarn")
    table = replace(skarn, key="gate", rate_neaps_mps=rates, rate_springs_mps=rates)
    held = water(facts, streams=(*facts.water.streams, table))
    return kind(held, GateKind.NARROWS, stream="gate", most_rate_mps=2.0 * KNOT, station=None)


def test_narrows_are_met_while_the_stream_is_weak_enough_and_the_slacks_are_listed(judged: Judged) -> None:
    facts = narrows(worked_example(1), 2.0, 5.0, 2.0)

    words = at_worst(judged(RULE, no_way_out(facts))).say(0)

    # the easterly piece begins half an hour before high water 13:54, she is there at 13:22 by plan
    assert worst(judged(RULE, no_way_out(facts))) == Outcome.NO_GO
    assert words.sentence.startswith(
        "Morrowick lock runs too hard at Sat 15 May 14:22 (13:22 UTC) when she comes by plan; "
        "weak enough from Sat 15 May 14:24 (13:24 UTC)."
    )
    sums = dict(words.sums)
    assert (sums["Stream by plan"], sums["Passed up to"]) == ("5.0 kn", "2.0 kn")
    assert "Sat 15 May 14:24 (13:24 UTC)" in sums["Slack"]
    assert sums["Slack"].count("UTC)") == 3


def test_narrows_at_exactly_the_greatest_rate_are_passed(judged: Judged) -> None:
    facts = narrows(worked_example(1), 2.0, 2.0, 2.0)

    assert worst(judged(RULE, facts)) == Outcome.PASSED
    assert "stream weak enough until" in at_worst(judged(RULE, facts)).say(0).sentence


def test_narrows_whose_stream_is_not_known_are_not_known(judged: Judged) -> None:
    facts = kind(worked_example(1), GateKind.NARROWS, stream="nowhere", most_rate_mps=2.0 * KNOT, station=None)

    assert worst(judged(RULE, facts)) == Outcome.UNKNOWN
    assert sentence(judged(RULE, facts)) == "When Morrowick lock is open is not known: not known the stream there."
    assert at_worst(judged(RULE, facts)).cause == ("gate", LOCK)


@pytest.mark.parametrize(
    ("most_sea_m", "wave_m", "expected"),
    [(1.0, 0.9, Outcome.PASSED), (1.0, 1.1, Outcome.NO_GO), (NAN, 0.1, Outcome.UNKNOWN), (1.0, NAN, Outcome.UNKNOWN)],
)
def test_a_bar_is_shut_by_the_sea_of_the_forecast_there(
    judged: Judged, most_sea_m: float, wave_m: float, expected: Outcome
) -> None:
    facts = kind(no_way_out(worked_example(1)), GateKind.BAR, zero="chart datum", level_m=-3.0, most_sea_m=most_sea_m)

    found = judged(RULE, forecast(facts, wave_height_m=wave_m))

    assert worst(found) == expected
    if expected == Outcome.NO_GO:
        sums = dict(at_worst(found).say(0).sums)
        assert sums["Crossed in up to"] == "1.0 m"
        assert sums["Sea on the bar by plan"] == "1.10 m"  # the stream runs with the waves there
        assert sentence(found).startswith("Morrowick lock is not to be crossed at Sat 15 May 14:22 (13:22 UTC)")


def test_a_bar_whose_highest_sea_nobody_stated_says_so_and_does_not_settle_itself(judged: Judged) -> None:
    facts = kind(no_way_out(worked_example(300)), GateKind.BAR, zero="chart datum", level_m=-3.0, most_sea_m=NAN)

    found = judged(RULE, facts)[0]

    assert found.say(0).sentence.endswith("is not known: the highest sea it is crossed in is not stated.")
    assert not np.any(found.ripens)


def test_a_stream_against_the_waves_makes_the_sea_on_the_bar_higher(judged: Judged) -> None:
    facts = kind(no_way_out(worked_example(1)), GateKind.BAR, zero="chart datum", level_m=-3.0, most_sea_m=1.0)

    from_ahead = judged(RULE, forecast(facts, wave_from_east=1.0))

    # 0.9 m and 4.5 s on 0.2 kn against the waves grow by a few per cent
    assert dict(at_worst(from_ahead).say(0).sums)["Sea on the bar by plan"] == "0.93 m"


def test_a_bar_beyond_the_forecast_settles_itself_and_one_in_a_gap_does_not(judged: Judged) -> None:
    facts = kind(worked_example(300), GateKind.BAR, zero="chart datum", level_m=-3.0, most_sea_m=2.0)
    gap = forecast(facts, wave_height_m=NAN)

    found, gapped = judged(RULE, facts)[0], judged(RULE, gap)[0]

    assert (outcome(found, 0), outcome(found, 299)) == (Outcome.PASSED, Outcome.UNKNOWN)
    assert (ripens(found, 0), ripens(found, 299)) == (False, True)
    assert "no forecast of the sea reaches so far" in found.say(299).sentence
    assert (outcome(gapped, 0), ripens(gapped, 0)) == (Outcome.UNKNOWN, False)


def test_a_lifting_bridge_keeps_hours_and_needs_no_tide(judged: Judged) -> None:
    hours = {"keeps_hours": True, "opens_local_s": 8 * HOUR, "closes_local_s": 17 * HOUR}
    facts = kind(no_way_out(worked_example(1)), GateKind.BRIDGE, fixed=False, station=None, **hours)

    assert worst(judged(RULE, facts)) == Outcome.PASSED
    assert at_worst(judged(RULE, facts)).say(0).sentence == (
        "Morrowick lock: plan 14:22, late 15:37, last opening Sat 15 May 17:00 (16:00 UTC)."
    )
    early = gate(facts, LOCK, closes_local_s=14 * HOUR)
    assert sentence(judged(RULE, early)).startswith("Morrowick lock does not open at Sat 15 May 14:22 (13:22 UTC)")
    assert worst(judged(RULE, gate(facts, LOCK, fixed=None))) == Outcome.UNKNOWN


def test_of_a_bridge_that_never_opens_only_headroom_is_asked(judged: Judged) -> None:
    found = judged(RULE, kind(worked_example(1), GateKind.BRIDGE, fixed=True))

    assert [one.applies for one in found] == [False]


@pytest.mark.parametrize(("after_s", "through"), [(0.0, True), (PLAN_OF_HIGH_WATER_S - 60, False)])
def test_inside_free_flow_it_says_that_she_goes_straight_through(judged: Judged, after_s: float, through: bool) -> None:
    facts = gate(worked_example(1), LOCK, free_flow_before_s=HOUR, free_flow_after_s=after_s)

    words = at_worst(judged(RULE, facts)).say(0)

    told = "Both gates stand open from 13:54 to Sat 15 May 14:54 (13:54 UTC): straight through."
    assert words.sentence.endswith(told) == through
    assert "Both gates open" in dict(words.sums)


def test_a_lock_with_a_sill_of_its_own_wants_water_too(judged: Judged) -> None:
    facts = no_way_out(worked_example(1))
    height = float(passage_of(facts).tides["ostrel"].height(passage_of(facts).plan.node_at[0, -1]))
    over = facts.boat.vessel.draught_m + facts.limits.under_keel_m

    open_, shut = (
        judged(RULE, gate(facts, LOCK, zero="chart datum", level_m=height - over + off)) for off in (-0.5, 0.05)
    )

    assert worst(open_) == Outcome.PASSED
    assert worst(shut) == Outcome.NO_GO


def test_what_to_do_names_the_hours_of_the_next_opening(judged: Judged) -> None:
    facts = lock(no_way_out(worked_example(1)), opens_s=PLAN_OF_HIGH_WATER_S + HOUR)

    assert at_worst(judged(RULE, facts)).say(0).do == (
        "Leave so that she comes to Morrowick lock between Sat 15 May 15:22 (14:22 UTC) and Sat 15 May 16:54 (15:54 UTC) "
        "(last entry), late figure and all."
    )


def test_what_to_do_about_a_gate_that_is_not_known_asks_for_what_is_missing(judged: Judged) -> None:
    no_speed = leg(worked_example(1), speed_mps=NAN)
    no_last_entry = lock(worked_example(1), entry_s=NAN)

    assert at_worst(judged(RULE, no_speed)).say(0).do == "Give the speed and the streams of the way."
    assert at_worst(judged(RULE, no_last_entry)).say(0).do == "Ring the keeper of Morrowick lock, or enter its rule."
