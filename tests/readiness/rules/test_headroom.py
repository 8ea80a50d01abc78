"""Headroom under fixed bridges."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_water import Level
from readiness.rules.headroom import RULE, highest_m
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.passage import Tide
from readiness.rules.record import epochs
from readiness.rules.tides import tide_of
from readiness.rules.under_way import passage_of
from readiness.rules.words_of_trade import GateKind
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import tide_station
from tests.readiness.rules.alter import (
    at_worst,
    demand,
    forecast,
    gate,
    leg,
    outcome,
    place,
    sentence,
    vessel,
    water,
    worst,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import DAY, HOUR

LOCK, NAN = "morrowick-lock", float("nan")
AIR_DRAUGHT_M = 5.0


def bridge(facts: Facts, **parts: Any) -> Facts:
    """The lock turned into a fixed bridge at the end of the leg."""
    fields: dict[str, Any] = {
        "kind": GateKind.BRIDGE, "name": "Morrowick bridge", "fixed": True, "level_m": 9.0, "zero": "chart datum",
        "before_s": NAN, "after_s": NAN, "hands": None,
    }  # fmt: skip
    return gate(vessel(facts, air_draught_m=AIR_DRAUGHT_M, air_draught_folded_m=NAN), LOCK, **(fields | parts))


def highest(facts: Facts) -> float:
    """The highest water at the bridge from early to late, looked at every second of the printed table."""
    passage = passage_of(facts)
    start, end = (float(passage.at_point(run, 5)[0]) for run in (passage.early, passage.late))
    tide = tide_station()
    at, height = epochs(tide.event_at), tide.event_m
    moments = np.arange(start, end, 1.0)
    after = np.searchsorted(at, moments, side="right")
    share = (moments - at[after - 1]) / (at[after] - at[after - 1])
    curve = (height[after - 1] + height[after]) / 2 + (height[after - 1] - height[after]) / 2 * np.cos(np.pi * share)
    return float(curve.max())


@pytest.mark.parametrize(
    ("clear_m", "expected"),
    [
        (0.501, Outcome.PASSED), (0.499, Outcome.CONDITION), (0.201, Outcome.CONDITION), (0.199, Outcome.NO_GO),
        (-2.0, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_the_room_at_the_highest_water_from_early_to_late_decides(
    judged: Judged, clear_m: float, expected: Outcome
) -> None:
    facts = bridge(worked_example(1))
    clearance = highest(facts) + AIR_DRAUGHT_M + clear_m

    found = judged(RULE, bridge(worked_example(1), level_m=clearance))

    assert worst(found) == expected
    assert demand(found[0]) == pytest.approx(clear_m, abs=1e-5)


@pytest.mark.parametrize(("clear_m", "expected"), [(0.5, Outcome.PASSED), (0.2, Outcome.CONDITION)])
def test_exactly_on_the_limit_the_better_stands(judged: Judged, clear_m: float, expected: Outcome) -> None:
    station = tide_station()
    even = replace(station, event_m=np.where(station.event_high, 2.0, 1.0))  # high water falls between early and late
    facts = water(worked_example(1), stations=(even,))

    found = judged(RULE, vessel(bridge(facts, level_m=6.0 + clear_m), air_draught_m=4.0))

    assert demand(found[0]) == pytest.approx(clear_m, abs=1e-12)
    assert worst(found) == expected


def test_the_clearance_may_be_above_any_level_known_at_the_station(judged: Judged) -> None:
    facts = bridge(worked_example(1), level_m=6.0, zero="mean high water springs")
    datum = bridge(worked_example(1), level_m=6.0 + 4.5)  # the level lies 4.5 m above chart datum

    assert demand(judged(RULE, facts)[0]) == pytest.approx(demand(judged(RULE, datum)[0]))


def test_the_mean_level_of_a_station_with_constants_counts_too(judged: Judged) -> None:
    station = replace(tide_station(), levels=(Level(name="springs", height_m=NAN),), mean_level_m=2.6)
    facts = water(worked_example(1), stations=(station,))

    found, other = (judged(RULE, bridge(facts, level_m=7.0, zero=zero)) for zero in ("mean level", "springs"))

    assert demand(found[0]) == pytest.approx(demand(judged(RULE, bridge(facts, level_m=9.6))[0]))
    assert worst(other) == Outcome.UNKNOWN


def test_air_pressure_is_left_out(judged: Judged) -> None:
    facts = bridge(worked_example(1))

    low, high = (judged(RULE, forecast(facts, pressure_hpa=pressure)) for pressure in (980.0, 1040.0))

    assert demand(low[0]) == demand(high[0])


@pytest.mark.parametrize(
    ("parts", "lacks"),
    [
        ({"level_m": NAN}, "its height"),
        ({"zero": None}, "what its height is measured from"),
        ({"zero": "the quay"}, "what its height is measured from"),
        ({"station": None}, "the tide there"),
    ],
)
def test_what_is_not_known_is_named_and_never_room(judged: Judged, parts: dict[str, Any], lacks: str) -> None:
    found = judged(RULE, bridge(worked_example(1), **parts))

    assert worst(found) == Outcome.UNKNOWN
    assert sentence(found) == f"Room under Morrowick bridge is not known. Not known: {lacks}."


def test_an_air_draught_nobody_measured_is_not_known(judged: Judged) -> None:
    found = judged(RULE, vessel(bridge(worked_example(1)), air_draught_m=NAN))

    assert worst(found) == Outcome.UNKNOWN
    assert sentence(found).endswith("Not known: her air draught.")


def test_beyond_the_tide_table_the_room_is_not_known(judged: Judged) -> None:
    facts = bridge(worked_example(1))
    departures = replace(facts.departures, first=tide_station().event_at[-2])

    found = judged(RULE, changed(facts, departures=departures))

    assert worst(found) == Outcome.UNKNOWN
    assert sentence(found).endswith("Not known: the tide when she is there.")


def test_folding_makes_room_and_the_change_is_proved_by_judging_again(judged: Judged) -> None:
    facts = vessel(bridge(worked_example(1)), air_draught_m=6.0, air_draught_folded_m=4.0)
    facts = gate(facts, LOCK, level_m=highest(facts) + 6.0)

    found = judged(RULE, facts)

    (remedy,) = found[0].say(0).remedies
    assert worst(found) == Outcome.NO_GO
    assert remedy.text == "Fold mast and aerials (2.0 m clear then)"
    assert worst(judged(RULE, remedy.change(facts))) == Outcome.PASSED
    assert demand(judged(RULE, remedy.change(facts))[0]) == pytest.approx(2.0, abs=1e-5)


@pytest.mark.parametrize("folded_m", [AIR_DRAUGHT_M, 6.0, NAN])
def test_nothing_to_fold_is_no_remedy(judged: Judged, folded_m: float) -> None:
    facts = vessel(bridge(worked_example(1), level_m=1.0), air_draught_folded_m=folded_m)

    assert judged(RULE, facts)[0].say(0).remedies == ()


def test_it_says_the_room_and_when(judged: Judged) -> None:
    facts = bridge(worked_example(1))
    found = judged(RULE, gate(facts, LOCK, level_m=highest(facts) + AIR_DRAUGHT_M + 0.71))

    words = found[0].say(0)

    assert words.title == "Headroom at Morrowick bridge"
    assert words.sentence == (
        "0.71 m clear under Morrowick bridge at the highest water, 0.5 m wanted; from Sat 15 May 13:54 (12:54 UTC)."
    )
    assert words.margin == "0.21 m"


def test_a_bridge_on_the_way_out_is_asked_for_departure_and_slip(judged: Judged) -> None:
    facts = place(place(bridge(worked_example(1), place="ostrel"), "ostrel", gates=(LOCK,)), "morrowick", gates=())
    points = (*facts.leg.points[:-1], replace(facts.leg.points[-1], gate=None))

    found = judged(RULE, leg(facts, points=points))

    passage = passage_of(facts)
    start = passage.departure_at[0]
    tide = passage.tides["ostrel"]
    water_m = max(float(np.asarray(tide.height(start + second))) for second in range(0, 901, 5))
    assert len(found) == 1
    assert demand(found[0]) == pytest.approx(9.0 - water_m - AIR_DRAUGHT_M, abs=1e-3)


def test_a_bridge_that_opens_is_not_asked_and_one_of_which_nobody_knows_is(judged: Judged) -> None:
    opens, unsure = (judged(RULE, bridge(worked_example(1), fixed=fixed, level_m=1.0)) for fixed in (False, None))

    assert (worst(opens), opens[0].applies) == (Outcome.PASSED, False)
    assert worst(unsure) == Outcome.NO_GO


def test_a_leg_without_a_bridge_does_not_ask(judged: Judged) -> None:
    found = judged(RULE, worked_example(1))

    assert [one.say(0).sentence for one in found] == ["No fixed bridge is on this leg."]


def test_a_high_water_between_two_samples_is_not_missed() -> None:
    station = tide_station()
    tide = tide_of(station, 0.0, 4e9)
    assert isinstance(tide, Tide)
    high = tide.events.at[tide.events.high][4]

    found = highest_m(tide, np.array([high - 5 * HOUR]), np.array([high + 5.7 * HOUR]))

    assert found[0] == tide.events.height_m[tide.events.high][4]
    assert np.isnan(highest_m(tide, np.array([high + 30 * DAY]), np.array([high + 31 * DAY]))[0])


def test_a_no_go_is_never_waived(judged: Judged) -> None:
    found = judged(RULE, bridge(worked_example(1), level_m=1.0))

    assert outcome(at_worst(found)) == Outcome.NO_GO
    assert at_worst(found).say(0).do == "Pass at lower water."
    assert RULE.waive == {Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG}
