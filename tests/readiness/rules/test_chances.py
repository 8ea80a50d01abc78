"""How likely each limit is passed, by members or by the own table of errors; and that no verdict hangs on it."""

from datetime import UTC, datetime

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.stats import norm

from readiness.calc.chance import forecast_error
from readiness.rules.chances import Chance, chances
from readiness.rules.engine import judge
from readiness.rules.facts import Facts, decode, encode
from readiness.rules.judgement import Outcome
from readiness.rules.under_way import passage_of
from readiness.rules.words_of_trade import Confidence
from tests.factories.ensemble import with_members
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast, leg, vessel, water
from vessel.units import HOUR, KNOT


def told(facts: Facts, index: int = 0) -> dict[tuple[str, Outcome], Chance]:
    """The chances of one departure by thing and outcome."""
    found = chances(facts, passage_of(facts), facts.limits, index)
    return {(chance.what, chance.outcome): chance for chance in found}


def test_members_are_counted_for_each_limit() -> None:
    # twelve knots times 0.5 to 2.5 in steps of 0.5: 6, 12, 18, 24, 30; gusts 8.5, 17, 25.5, 34, 42.5
    found = told(with_members(worked_example(1), 5, 0.5, 2.5))

    counted = {key: (chance.limit, chance.how) for key, chance in found.items()}
    assert counted["Mean wind", Outcome.CONDITION] == ("22 kn", "2 of 5 members")
    assert counted["Mean wind", Outcome.NO_GO] == ("28 kn", "1 of 5 members")
    assert counted["Gusts", Outcome.CONDITION] == ("28 kn", "2 of 5 members")
    assert counted["Gusts", Outcome.NO_GO] == ("34 kn", "2 of 5 members")
    assert counted["Sea", Outcome.CONDITION] == ("1.52 m", "3 of 5 members")
    assert counted["Steepness", Outcome.CONDITION] == ("0.050", "3 of 5 members")
    assert (found["Mean wind", Outcome.CONDITION].share, found["Mean wind", Outcome.CONDITION].percent) == (0.4, "40 %")


def test_a_member_with_gaps_counts_as_passing_and_that_is_said() -> None:
    facts = with_members(worked_example(1), 5, 0.5, 1.0)
    held = facts.water.forecast
    assert held is not None
    assert held.members is not None
    east = held.members.wind_east_mps.copy()
    east[0, 6] = np.nan
    gap = water(facts, forecast=replace(held, members=replace(held.members, wind_east_mps=east)))

    assert told(gap)["Mean wind", Outcome.NO_GO].how == "1 of 5 members, 1 of them with gaps"
    assert told(gap)["Mean wind", Outcome.NO_GO].counted == ("1 of 5", "1 with gaps")
    assert told(facts)["Mean wind", Outcome.NO_GO].percent == "0 %"


def test_without_members_it_is_worked_out_from_the_own_errors_and_says_so() -> None:
    found = told(worked_example(1))

    chance = found["Mean wind", Outcome.CONDITION]
    lead = (datetime(2027, 5, 15, 14, 37, 12, tzinfo=UTC) - datetime(2027, 5, 15, 3, 0, tzinfo=UTC)).total_seconds()
    by_hand = norm.sf(22 * KNOT, 12 * KNOT, float(forecast_error("wind", lead)))
    assert chance.share == pytest.approx(by_hand, rel=1e-4)
    assert chance.how == "own table of errors, 11 h 37 min ahead"
    assert chance.percent == "under 1 %"
    sea = found["Sea", Outcome.CONDITION]
    on_stream = 1.19 / 0.9
    assert sea.share == pytest.approx(norm.sf(1.525, 1.19, on_stream * float(forecast_error("sea", lead))), abs=0.005)
    assert (found["Steepness", Outcome.CONDITION].percent, found["Steepness", Outcome.CONDITION].how) == (
        "not known", "no table of errors",
    )  # fmt: skip


def test_nearly_certain_is_never_certain() -> None:
    chance = told(forecast(worked_example(1), wind_east_mps=60 * KNOT))["Mean wind", Outcome.NO_GO]

    assert chance.percent == "over 99 %"


def test_limits_of_a_doubtful_forecast_are_those_the_rules_use() -> None:
    found = told(forecast(worked_example(1), confidence=Confidence.LOW))

    assert found["Mean wind", Outcome.NO_GO].limit == "22 kn"
    assert found["Sea", Outcome.NO_GO].limit == "1.95 m"
    assert found["Steepness", Outcome.NO_GO].limit == "0.065"


@pytest.mark.parametrize(
    ("facts", "what"),
    [
        (forecast(worked_example(1), issued_at=None), "Mean wind"),
        (leg(worked_example(1), speed_mps=float("nan")), "Mean wind"),
        (forecast(worked_example(1), gust_mps=float("nan")), "Gusts"),
        (vessel(worked_example(1), loa_m=float("nan")), "Sea"),
        (vessel(with_members(worked_example(1), 3), loa_m=float("nan")), "Sea"),
        (forecast(worked_example(1), issued_at=datetime(2027, 5, 16, tzinfo=UTC)), "Sea"),
    ],
)
def test_a_chance_that_cannot_be_told_is_not_known(facts: Facts, what: str) -> None:
    assert told(facts)[what, Outcome.NO_GO].percent == "not known"


def test_a_harbour_move_asks_for_gusts_by_its_own_limits_and_no_forecast_for_nothing() -> None:
    move = told(leg(worked_example(1), harbour_move=True))

    assert {(what, chance.limit) for (what, _), chance in move.items()} == {("Gusts", "22 kn"), ("Gusts", "28 kn")}
    assert told(water(worked_example(1), forecast=None)) == {}


def test_every_departure_has_its_own() -> None:
    facts = worked_example(3)
    held = facts.water.forecast
    assert held is not None
    late = held.wind_east_mps.copy()
    late[16:] = 40 * KNOT
    rising = forecast(facts, wind_east_mps=late)
    every = replace(rising, departures=replace(rising.departures, every_s=6 * HOUR))

    shares = [told(every, index)["Mean wind", Outcome.NO_GO].share for index in range(3)]

    assert shares[0] < 0.01
    assert shares[1:] == pytest.approx([1.0, 1.0], abs=0.01)


def test_members_change_no_verdict_and_survive_the_document() -> None:
    plain, crowded = worked_example(2), with_members(worked_example(2), 7, 3.0, 9.0)

    again = decode(encode(crowded))

    assert judge(crowded).verdict.tolist() == judge(plain).verdict.tolist()
    assert judge(crowded).outcomes.tolist() == judge(plain).outcomes.tolist()
    assert [chance.how for chance in told(again).values()] == [chance.how for chance in told(crowded).values()]
