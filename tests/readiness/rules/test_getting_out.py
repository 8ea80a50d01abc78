"""Getting off the berth and out."""

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.getting_out import RULE
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.under_way import passage_of
from readiness.rules.words_of_trade import GateKind
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import (
    at_worst,
    forecast,
    gate,
    leg,
    place,
    ripens,
    sentence,
    vessel,
    water,
    worst,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR

NAN = float("nan")


def berth(facts: Facts, spare_m: float) -> Facts:
    """The berth with so much more than the need at the lowest while she leaves; the tide falls until 07:36."""
    start = facts.departures.first.timestamp()
    low = float(passage_of(facts).tides["ostrel"].height(start + 900.0))
    return place(facts, "ostrel", charted_m=1.25 + 0.30 + spare_m - low)


def behind(facts: Facts, opens_local_h: float, closes_local_h: float) -> Facts:
    """The same harbour behind the lock, which keeps hours besides; 06:30 UTC is 07:30 local."""
    hours = {"keeps_hours": True, "opens_local_s": opens_local_h * HOUR, "closes_local_s": closes_local_h * HOUR}
    always = gate(facts, "morrowick-lock", before_s=6.5 * HOUR, after_s=6.5 * HOUR, **hours)
    return place(place(always, "ostrel", gates=("morrowick-lock",)), "morrowick", gates=())


@pytest.mark.parametrize(
    ("spare_m", "expected"),
    [
        (0.21, Outcome.PASSED), (0.19, Outcome.CONDITION), (0.01, Outcome.CONDITION), (-0.01, Outcome.NO_GO),
        (NAN, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_water_at_the_berth(judged: Judged, spare_m: float, expected: Outcome) -> None:
    assert worst(judged(RULE, berth(worked_example(1), spare_m))) == expected


def test_the_berth_is_told_by_name(judged: Judged) -> None:
    facts = berth(worked_example(1), 0.5)

    assert sentence(judged(RULE, facts)) == "0.80 m under the keel at the berth in Ostrel Haven, 0.30 m wanted."


def test_high_pressure_takes_water_away_and_pressure_not_forecast_will_be(judged: Judged) -> None:
    facts = berth(worked_example(1), 0.3)

    high = judged(RULE, forecast(facts, pressure_hpa=1033.0))
    starved = at_worst(judged(RULE, water(facts, forecast=None)))

    assert worst(high) == Outcome.CONDITION
    assert (starved.outcome[0], starved.cause, ripens(starved)) == (Outcome.UNKNOWN, ("forecast", ""), True)
    assert worst(judged(RULE, water(berth(facts, -0.01), forecast=None))) == Outcome.NO_GO


@pytest.mark.parametrize(
    ("opens", "closes", "expected"),
    [
        (7.5, 12.0, Outcome.PASSED), (7.51, 12.0, Outcome.NO_GO), (7.0, 7.76, Outcome.PASSED),
        (7.0, 7.74, Outcome.NO_GO), (NAN, 12.0, Outcome.UNKNOWN),
    ],
)  # fmt: skip
def test_the_gate_is_open_from_departure_to_the_end_of_the_slip(
    judged: Judged, opens: float, closes: float, expected: Outcome
) -> None:
    assert worst(judged(RULE, behind(worked_example(1), opens, closes))) == expected


def test_it_says_that_the_gate_is_shut(judged: Judged) -> None:
    assert sentence(judged(RULE, behind(worked_example(1), 8.0, 12.0))) == (
        "Morrowick lock is shut at Sat 15 May 07:30 (06:30 UTC), or shuts before the slip is over."
    )


def test_tide_slip_or_gate_not_known_are_not_known(judged: Judged) -> None:
    facts = worked_example(1)

    for damaged in (water(facts, stations=()), place(facts, "ostrel", gates=("lost",)), vessel(facts, slip_s=NAN),
                    leg(facts, departure_place="nowhere")):  # fmt: skip
        assert worst(judged(RULE, damaged)) == Outcome.UNKNOWN
    assert at_worst(judged(RULE, water(facts, stations=()))).cause == ("tide", "ostrel")


def test_a_gate_of_the_first_point_counts_too(judged: Judged) -> None:
    facts = behind(worked_example(1), 8.0, 12.0)
    first = replace(facts.leg.points[0], gate="morrowick-lock")
    facts = leg(place(facts, "ostrel", gates=()), points=(first, *facts.leg.points[1:-1], facts.leg.points[-1]))

    assert worst(judged(RULE, facts)) == Outcome.NO_GO


def test_a_harbour_move_asks_and_a_no_go_is_never_waived(judged: Judged) -> None:
    assert worst(judged(RULE, leg(berth(worked_example(1), -0.01), harbour_move=True))) == Outcome.NO_GO
    assert RULE.waive[Outcome.NO_GO] == Waive.NEVER


def test_under_a_bridge_that_never_opens_only_headroom_is_asked(judged: Judged) -> None:
    facts = gate(behind(worked_example(1), 9, 10), "morrowick-lock", kind=GateKind.BRIDGE, fixed=True)

    assert worst(judged(RULE, behind(worked_example(1), 9, 10))) == Outcome.NO_GO
    assert [one.cause[0] for one in judged(RULE, facts)] == ["berth"]


def test_a_bar_beyond_the_forecast_settles_itself(judged: Judged) -> None:
    facts = behind(worked_example(300), 0, 24)
    bar = gate(facts, "morrowick-lock", kind=GateKind.BAR, zero="chart datum", level_m=-3.0, most_sea_m=2.0)

    found = next(one for one in judged(RULE, bar) if one.cause[0] == "gate")

    assert [int(found.outcome[0]), int(found.outcome[299])] == [Outcome.PASSED, Outcome.UNKNOWN]
    assert [ripens(found, 0), ripens(found, 299)] == [False, True]
