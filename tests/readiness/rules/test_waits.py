"""Waiting for a gate: from when to when, what it costs, and when she arrives after it."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.facts_boat import SeaSpeed
from readiness.rules.gate_on_arrival import RULE
from readiness.rules.judgement import Outcome
from readiness.rules.under_way import passage_of
from readiness.rules.waits import LONGEST_WAIT_S, Wait, waits
from readiness.rules.words_of_trade import GateKind
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import ALL_ROUND
from tests.readiness.rules.alter import gate, leg, place, sentence, vessel, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, MINUTE

LOCK = "morrowick-lock"
PLAN_OF_HIGH_WATER_S = -(31 * MINUTE + 32.06)
NAN = float("nan")


def shut_for(seconds: float, facts: Facts | None = None, **wait_place: Any) -> Facts:
    """The lock opens so long after she is there by plan; Vessary Roads would take her."""
    held = place(facts or worked_example(1), "vessary", shelter=ALL_ROUND, **wait_place)
    return gate(held, LOCK, before_s=-(PLAN_OF_HIGH_WATER_S + seconds), after_s=5 * HOUR, wait_place="vessary")


def only(facts: Facts, index: int = 0) -> Wait:
    (wait,) = waits(facts, passage_of(facts), index)
    return wait


def test_she_waits_from_when_she_is_there_until_it_opens() -> None:
    facts = shut_for(2 * HOUR)
    wait, passage = only(facts), passage_of(facts)

    assert (wait.gate, wait.gate_name, wait.place_name) == (LOCK, "Morrowick lock", "Vessary Roads")
    assert wait.from_at == passage.plan.node_at[0, -1]
    assert wait.lasts_s == pytest.approx(2 * HOUR, abs=1.0)
    assert wait.arrives_at == wait.to_at


@pytest.mark.parametrize(("seconds", "waited"), [(LONGEST_WAIT_S - 2, 1), (LONGEST_WAIT_S + 2, 0), (-HOUR, 0)])
def test_a_wait_is_no_longer_than_three_hours_and_there_is_none_where_it_is_open(seconds: float, waited: int) -> None:
    facts = shut_for(seconds)

    assert len(waits(facts, passage_of(facts), 0)) == waited


@pytest.mark.parametrize("wait_place", [None, "nowhere"])
def test_without_a_place_there_is_no_wait(wait_place: str | None) -> None:
    facts = gate(shut_for(HOUR), LOCK, wait_place=wait_place)

    assert waits(facts, passage_of(facts), 0) == ()


def test_a_place_that_dries_out_while_she_waits_does_not_take_her() -> None:
    facts = shut_for(2 * HOUR)
    passage = passage_of(facts)
    plan = passage.plan.node_at[0, -1]
    at_plan, at_end = (float(passage.tides["ostrel"].height(plan + later)) for later in (0.0, 2 * HOUR))
    assert at_end < at_plan  # the tide falls meanwhile
    needed = facts.boat.vessel.draught_m + facts.limits.under_keel_m
    dries = place(facts, "vessary", charted_m=needed - (at_plan + at_end) / 2)

    assert len(waits(facts, passage, 0)) == 1
    assert waits(dries, passage_of(dries), 0) == ()


@pytest.mark.parametrize(
    ("price", "currency", "cost"),
    [
        (25.0, "EUR", "one night, EUR 25.00"), (0.0, "EUR", "one night, EUR 0.00"), (NAN, "EUR", "one night, price not known"),
        (25.0, None, "one night, 25.00"),
    ],
)  # fmt: skip
def test_a_wait_over_midnight_by_the_clock_there_is_a_night_to_pay(
    price: float, currency: str | None, cost: str
) -> None:
    zone = _zone_where_midnight_falls_in_the_wait()
    facts = vessel(shut_for(2 * HOUR, night_price=price, zone=zone), currency=currency)

    wait = only(facts)

    assert wait.nights == 1
    assert wait.cost == cost
    assert wait.price == pytest.approx(price, nan_ok=True)


def _zone_where_midnight_falls_in_the_wait() -> str:
    """She is there at 13:22 UTC and through at 15:22: midnight at UTC+10."""
    return "Etc/GMT-10"


@pytest.mark.parametrize(
    ("zone", "nights"), [("Etc/GMT-10", 1), ("Etc/GMT-11", 0), ("Etc/GMT-8", 0), ("Europe/Lisbon", 0)]
)
def test_by_day_there_is_no_night_to_pay_whatever_the_price(zone: str, nights: int) -> None:
    wait = only(shut_for(2 * HOUR, zone=zone))  # nobody knows the price

    assert wait.nights == nights
    assert wait.cost == ("one night, price not known" if nights else "no night to pay")
    assert np.isnan(wait.price) == bool(nights)


def mid_gate(facts: Facts, opens_after_s: float) -> Facts:
    """A second lock off Thole Bight, which opens so long after she is there by plan."""
    passage = passage_of(facts)
    at = float(passage.plan.node_at[0, passage.point_node[4]])
    tide = passage.tides["ostrel"].events
    high = float(tide.at[tide.high][np.abs(tide.at[tide.high] - at).argmin()])
    second = gate(
        facts, "hallorn-sill", kind=GateKind.LOCK, name="Thole lock", before_s=high - at - opens_after_s, after_s=6 * HOUR,
        level_m=NAN, zero=None, place=None, zone="Europe/Lisbon", wait_place="vessary",
    )  # fmt: skip
    points = tuple(
        replace(point, gate="hallorn-sill") if number == 4 else point for number, point in enumerate(facts.leg.points)
    )
    return leg(place(second, "hallorn", gates=()), points=points)


def test_after_a_wait_on_the_way_she_arrives_so_much_later_as_the_water_then_lets_her() -> None:
    facts = mid_gate(place(worked_example(1), "vessary", shelter=ALL_ROUND), HOUR)
    passage = passage_of(facts)

    wait = only(facts)

    assert wait.gate_name == "Thole lock"
    last_miles = passage.plan.node_at[0, -1] - passage.plan.node_at[0, passage.point_node[4]]
    assert wait.arrives_at == pytest.approx(wait.to_at + last_miles, abs=1.0)  # the last stream is steady


def test_a_wait_on_the_way_counts_when_she_comes_to_the_next_gate() -> None:
    facts = mid_gate(place(worked_example(1), "vessary", shelter=ALL_ROUND), 2 * HOUR)
    shuts_first = gate(facts, LOCK, after_s=2 * HOUR + PLAN_OF_HIGH_WATER_S, last_entry_s=0.0)
    # without the first wait she is in good time; after it the lock is shut, and opens again only with the next tide

    found = waits(shuts_first, passage_of(shuts_first), 0)

    assert [wait.gate_name for wait in found] == ["Thole lock"]
    assert np.isnan(found[0].arrives_at)
    alone = gate(worked_example(1), LOCK, after_s=2 * HOUR + PLAN_OF_HIGH_WATER_S, last_entry_s=0.0)
    assert waits(alone, passage_of(alone), 0) == ()


def test_a_gate_of_which_nothing_is_known_ends_the_reckoning() -> None:
    facts = gate(mid_gate(shut_for(HOUR), HOUR), "hallorn-sill", keeps_hours=None)

    assert waits(facts, passage_of(facts), 0) == ()


def test_the_words_say_how_long_where_what_it_costs_and_when_she_arrives(judged: Judged) -> None:
    facts = shut_for(2 * HOUR)

    assert worst(judged(RULE, facts)) == Outcome.CONDITION
    assert sentence(judged(RULE, facts)) == (
        "Morrowick lock is shut at Sat 15 May 14:22 (13:22 UTC) when she comes by plan; "
        "it opens Sat 15 May 16:22 (15:22 UTC). "
        "She waits 2 h at Vessary Roads until Sat 15 May 16:22 (15:22 UTC): no night to pay, "
        "and arrives about Sat 15 May 16:22 (15:22 UTC)."
    )


def test_too_long_a_wait_and_a_place_that_does_not_take_her_are_said(judged: Judged) -> None:
    long, open_to_wind = shut_for(4 * HOUR), place(shut_for(2 * HOUR), "vessary", shelter=())

    assert worst(judged(RULE, long)) == worst(judged(RULE, open_to_wind)) == Outcome.NO_GO
    assert sentence(judged(RULE, long)).endswith("Too long to wait for at Vessary Roads: 4 h.")
    assert "Vessary Roads is no way out: " in sentence(judged(RULE, open_to_wind))


def test_after_a_wait_the_sea_slows_her_as_it_did_in_the_plan() -> None:
    slow = SeaSpeed(height_m=1.0, ahead=0.8, abeam=0.8, astern=0.8)
    facts = vessel(place(worked_example(1), "vessary", shelter=ALL_ROUND), sea_speeds=(slow,))
    facts = mid_gate(gate(facts, LOCK, after_s=6 * HOUR), HOUR)
    passage = passage_of(facts)

    wait = only(facts)

    last_miles = passage.plan.node_at[0, -1] - passage.plan.node_at[0, passage.point_node[4]]
    assert last_miles > 1.1 * 8 / 7.2 * HOUR  # it does slow her
    assert wait.arrives_at == pytest.approx(wait.to_at + last_miles, abs=1.0)
