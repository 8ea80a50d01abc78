"""A refuge in reach: the ladder, what a place is asked, what is not known, and the table of one departure."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from msgspec.structs import replace as struct_replace

from readiness.calc.refuge import EVERY_S
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Sector
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.passage import Passage, Standing
from readiness.rules.refuge_gap import RULE
from readiness.rules.refuge_reach import refuges_in_reach
from readiness.rules.under_way import passage_of
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import longitude
from tests.readiness.rules.alter import (
    at_worst,
    demand,
    forecast,
    gate,
    leg,
    limits,
    outcome,
    place,
    ripens,
    sentence,
    water,
    worst,
)
from tests.readiness.rules.conftest import Judged
from vessel.units import HOUR, KNOT, MINUTE, NAUTICAL_MILE

NAN = float("nan")
EASTERLY = {"wind_east_mps": -12 * KNOT}


def alone(key: str = "thole", **parts: object) -> Facts:
    """The morning departure with one refuge only, half-way; she comes from nowhere and goes nowhere known."""
    facts = leg(worked_example(1), refuges=(key,), departure_place="nowhere", arrival_place="nowhere")
    facts = place(facts, key, lon_deg=longitude(24.0))
    return place(limits(facts, refuge_reach_s=6 * HOUR), key, **parts)


def gap_of(facts: Facts) -> float:
    passage = passage_of(facts)
    return demand(next(RULE.judge(facts, passage, facts.limits)))


def without(looks: int) -> tuple[Facts, Passage]:
    """The morning departure with so many looks in a row at which nothing is usable."""
    facts = worked_example(1)
    passage = passage_of(facts)
    standing = np.full_like(passage.refuges.standing, Standing.USABLE)
    standing[:, :, 3 : 3 + looks] = Standing.NONE
    to_go = np.zeros_like(passage.refuges.to_go_s)
    return facts, replace(passage, refuges=replace(passage.refuges, standing=standing, to_go_s=to_go))


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [
        (0, Outcome.PASSED), (5, Outcome.ADVICE), (120, Outcome.ADVICE), (125, Outcome.CONDITION),
        (240, Outcome.CONDITION), (245, Outcome.NO_GO),
    ],
)  # fmt: skip
def test_how_long_she_may_be_without(judged: Judged, minutes: int, expected: Outcome) -> None:
    facts, passage = without(minutes // 5)

    (found,) = judged(RULE, facts, passage)

    assert (outcome(found), demand(found)) == (expected, minutes * MINUTE)


@pytest.mark.parametrize(("off_s", "expected"), [(0.0, Outcome.PASSED), (1.0, Outcome.NO_GO)])
def test_within_reach_means_no_longer_than_the_limit(judged: Judged, off_s: float, expected: Outcome) -> None:
    facts, passage = without(0)
    to_go = np.full_like(passage.refuges.to_go_s, facts.limits.refuge_reach_s + off_s)

    found = judged(RULE, facts, replace(passage, refuges=replace(passage.refuges, to_go_s=to_go)))

    assert worst(found) == expected


def test_home_and_destination_count(judged: Judged) -> None:
    assert worst(judged(RULE, leg(worked_example(1), refuges=()))) == Outcome.PASSED
    facts = leg(worked_example(1), refuges=(), departure_place="nowhere", arrival_place="nowhere")
    assert worst(judged(RULE, facts)) == Outcome.NO_GO


def test_the_spell_without_is_where_two_places_are_both_too_far(judged: Judged) -> None:
    facts = limits(leg(worked_example(1), refuges=()), refuge_reach_s=2 * HOUR)
    passage = passage_of(facts)
    half_reach_m = 2 * HOUR * 0.9 * 7 * KNOT

    (found,) = judged(RULE, facts, passage)

    out = np.interp(half_reach_m, passage.track.node_along_m, passage.plan.node_at[0])
    back = np.interp(48 * NAUTICAL_MILE - half_reach_m, passage.track.node_along_m, passage.plan.node_at[0])
    # the lock opens at 10:54 UTC: she could be there sooner than that only from mile 35 on
    assert demand(found) == pytest.approx(back - out, abs=EVERY_S)
    assert sentence([found]) == (
        "No refuge is in reach within 2 h from 09:10 to 12:40, mile 12.7 to 35.5: Ostrel Haven 2 h 1 min off and "
        "Morrowick Basin 5 h 37 min off."
    )


@pytest.mark.parametrize(
    "shut",
    [
        lambda facts: place(facts, "thole", shelter=(Sector(from_deg=0.0, to_deg=90.0),)),  # the wind is westerly
        lambda facts: place(facts, "thole", charted_m=-5.0),
        lambda facts: place(facts, "thole", lat_deg=48.0),
    ],
)
def test_a_place_that_is_open_to_the_wind_too_shallow_or_too_far_is_no_refuge(
    judged: Judged, shut: Callable[[Facts], Facts]
) -> None:
    good = alone(shelter=(Sector(from_deg=225.0, to_deg=315.0),))

    assert worst(judged(RULE, good)) == Outcome.PASSED
    assert worst(judged(RULE, shut(good))) == Outcome.NO_GO


@pytest.mark.parametrize(
    ("sector", "sheltered"), [((270.0, 300.0), True), ((180.0, 270.0), True), ((270.1, 300.0), False), ((180.0, 269.9), False)]
)  # fmt: skip
def test_both_ends_of_a_sector_shelter(judged: Judged, sector: tuple[float, float], sheltered: bool) -> None:
    facts = alone(shelter=(Sector(from_deg=sector[0], to_deg=sector[1]),))

    assert (worst(judged(RULE, facts)) == Outcome.PASSED) == sheltered


def test_in_a_calm_no_sector_is_missed(judged: Judged) -> None:
    facts = forecast(alone(shelter=(Sector(from_deg=0.0, to_deg=90.0),)), wind_east_mps=0.0, wind_north_mps=0.0)

    assert worst(judged(RULE, facts)) == Outcome.PASSED


def test_the_wind_is_that_at_the_refuge_not_where_she_turns_for_it() -> None:
    facts = alone(shelter=(Sector(from_deg=225.0, to_deg=315.0),))
    facts = place(facts, "thole", lon_deg=longitude(30.0))
    held = facts.water.forecast
    assert held is not None
    east = np.linspace(-12.0, 12.0, 25) * KNOT  # easterly at the beginning, westerly from the middle on
    along = np.linspace(0.0, 48.0, 25) * NAUTICAL_MILE
    grids = {
        name: np.full((len(held.at), 25), getattr(held, name)[0, 0])
        for name in held.__struct_fields__
        if isinstance(getattr(held, name), np.ndarray) and name != "along_m"
    }
    grids["wind_east_mps"] = np.broadcast_to(east, (len(held.at), 25)).copy()
    parted = water(facts, forecast=struct_replace(held, along_m=along, **grids))

    assert gap_of(parted) == 0.0
    assert gap_of(place(parted, "thole", shelter=(Sector(from_deg=45.0, to_deg=135.0),))) > 4 * HOUR


def test_gates_are_asked_for_the_moment_she_would_be_there(judged: Judged) -> None:
    facts = alone("hallorn")

    found = judged(RULE, facts)

    # a sill that dries 1.6 m wants 3.15 m of tide: shut to her until about 11:00
    assert 0 < demand(found[0]) < 6 * HOUR
    assert "Hallorn Pool Hallorn sill shut" in sentence(found)
    assert worst(judged(RULE, gate(facts, "hallorn-sill", level_m=-9.0))) == Outcome.PASSED


@pytest.mark.parametrize(
    ("damage", "cause"),
    [
        (lambda facts: water(facts, forecast=None), ("forecast", "")),
        (lambda facts: forecast(facts, wind_east_mps=NAN), ("forecast", "")),
        (lambda facts: place(facts, "thole", charted_m=NAN), ("refuge", "not known")),
        (lambda facts: place(facts, "thole", station=None), ("refuge", "not known")),
        (lambda facts: place(facts, "thole", gates=("lost",)), ("refuge", "not known")),
        (lambda facts: place(facts, "thole", lat_deg=NAN), ("refuge", "not known")),
    ],
)
def test_what_is_not_known_and_would_decide_is_not_known(
    judged: Judged, damage: Callable[[Facts], Facts], cause: tuple[str, str]
) -> None:
    facts = damage(alone(shelter=(Sector(from_deg=225.0, to_deg=315.0),)))

    found = at_worst(judged(RULE, facts))

    assert (outcome(found), found.cause) == (Outcome.UNKNOWN, cause)


def test_a_forecast_that_does_not_reach_settles_itself_and_a_gap_in_it_does_not(judged: Judged) -> None:
    good = alone(shelter=(Sector(from_deg=225.0, to_deg=315.0),))

    assert ripens(at_worst(judged(RULE, water(good, forecast=None))))
    assert not ripens(at_worst(judged(RULE, forecast(good, wind_east_mps=NAN))))


def test_a_place_far_from_the_track_has_no_wind_of_it(judged: Judged) -> None:
    westerly = (Sector(from_deg=225.0, to_deg=315.0),)

    near, far = (alone(shelter=westerly, lat_deg=46.5 - off / 60) for off in (14.9, 15.2))

    assert worst(judged(RULE, near)) == Outcome.PASSED
    assert worst(judged(RULE, far)) == Outcome.UNKNOWN


def test_what_is_not_known_but_does_not_decide_is_not_asked(judged: Judged) -> None:
    facts = water(worked_example(1), forecast=None)

    found = judged(RULE, facts)

    assert [outcome(one) for one in found] == [Outcome.PASSED]


def test_where_nobody_can_tell_when_she_arrives_that_is_the_finding(judged: Judged) -> None:
    found = judged(RULE, leg(worked_example(1), speed_mps=0.0))

    assert worst(found) == Outcome.UNKNOWN
    assert at_worst([one for one in found if one.applies is not False][1:]).cause == ("late arrival", "")


def test_a_leg_with_a_refuge_all_the_way_says_which_is_farthest(judged: Judged) -> None:
    assert sentence(judged(RULE, worked_example(1))) == (
        "All the way some refuge is in reach within 4 h; at the farthest Morrowick Basin, 2 h 40 min."
    )


def test_a_harbour_move_does_not_ask(judged: Judged) -> None:
    found = judged(RULE, leg(alone(charted_m=-5.0), harbour_move=True))

    assert [(one.applies, worst([one])) for one in found] == [(False, Outcome.PASSED)]


def test_a_no_go_is_never_waived() -> None:
    assert RULE.waive == {Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG}


def test_the_table_of_an_evening_in_the_order_along_the_way() -> None:
    facts = worked_example(44)
    passage = passage_of(facts)
    arrives = passage.plan.arrives_at[43]

    rows = refuges_in_reach(facts, passage, 43)

    assert [row.name for row in rows] == [
        "Ostrel Haven", "Brannowmouth", "Hallorn Pool", "Thole Bight", "Morrowick Basin", "Vessary Roads",
    ]  # fmt: skip
    told = {row.key: row for row in rows}
    assert told["thole"].spells == ()
    assert told["thole"].why_not == "open to the wind"
    assert told["ostrel"].why_not == "4 h 3 min off"
    (morrowick,) = told["morrowick"].spells
    assert arrives - morrowick.end < EVERY_S
    assert told["vessary"].nearest_m == pytest.approx(2 * NAUTICAL_MILE, rel=0.06)


def test_a_departure_without_times_has_no_table() -> None:
    facts = leg(worked_example(1), speed_mps=0.0)

    assert refuges_in_reach(facts, passage_of(facts), 0) == []
