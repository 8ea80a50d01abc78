"""Doubtful engine on a lee shore: engine, wind, shore and anchor."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts
from readiness.rules.judgement import Outcome, Waive
from readiness.rules.lee_shore import RULE
from tests.factories.changed_boat import degraded, doubtful, out, stale
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import at_worst, forecast, leg, limits, place, ripens, sentence, water, worst
from tests.readiness.rules.conftest import Judged
from vessel.units import KNOT, NAUTICAL_MILE

NAN = float("nan")


def shore(facts: Facts, miles: float, toward_deg: float = 0.0) -> Facts:
    """The same leg with the shore so far off everywhere."""
    segments = tuple(
        replace(segment, shore_m=miles * NAUTICAL_MILE, shore_to_deg=toward_deg) for segment in facts.leg.segments
    )
    return leg(facts, segments=segments)


def wind(facts: Facts, knots: float, from_deg: float = 180.0) -> Facts:
    """The same wind everywhere."""
    angle = np.radians(from_deg)
    east, north = -knots * KNOT * np.sin(angle), -knots * KNOT * np.cos(angle)
    return forecast(facts, wind_east_mps=float(np.round(east, 12)), wind_north_mps=float(np.round(north, 12)))


def doubted(miles: float = 1.5, knots: float = 20.0, from_deg: float = 180.0) -> Facts:
    """A worn seawater pump, the shore to the north and the wind from the south."""
    return degraded(wind(shore(worked_example(1), miles), knots, from_deg), "EN-06")


@pytest.mark.parametrize(
    ("knots", "expected"), [(16.99, Outcome.PASSED), (17.0, Outcome.CONDITION), (NAN, Outcome.UNKNOWN)]
)
def test_the_wind_counts_from_17_knots(judged: Judged, knots: float, expected: Outcome) -> None:
    assert worst(judged(RULE, doubted(knots=knots))) == expected


@pytest.mark.parametrize(
    ("from_deg", "expected"),
    [
        (180.0, Outcome.CONDITION), (120.0, Outcome.CONDITION), (240.0, Outcome.CONDITION), (119.9, Outcome.PASSED),
        (240.1, Outcome.PASSED), (0.0, Outcome.PASSED),
    ],
)  # fmt: skip
def test_the_wind_counts_within_60_degrees_of_square_on(judged: Judged, from_deg: float, expected: Outcome) -> None:
    assert worst(judged(RULE, doubted(from_deg=from_deg))) == expected


@pytest.mark.parametrize(
    ("miles", "expected"), [(2.0, Outcome.CONDITION), (2.001, Outcome.PASSED), (NAN, Outcome.UNKNOWN)]
)
def test_the_shore_counts_up_to_two_miles_off(judged: Judged, miles: float, expected: Outcome) -> None:
    assert worst(judged(RULE, doubted(miles=miles))) == expected


def test_a_shore_not_known_does_not_matter_in_a_light_wind_and_matters_in_a_strong_one_only_with_doubt(
    judged: Judged,
) -> None:
    light, sound = doubted(miles=NAN, knots=12.0), wind(shore(worked_example(1), NAN), 20.0)

    assert worst(judged(RULE, light)) == Outcome.PASSED
    assert worst(judged(RULE, sound)) == Outcome.PASSED
    found = judged(RULE, doubted(miles=NAN))
    assert at_worst(found).cause == ("shore", "Ostrel Haven to Brannowmouth, off")
    assert not ripens(at_worst(found))
    assert sentence(found) == (
        "The engine is in doubt and it blows; nobody has said how far off the shore is from Ostrel Haven to "
        "Brannowmouth, off."
    )


def test_which_way_the_shore_lies_is_asked_as_well(judged: Judged) -> None:
    assert worst(judged(RULE, shore(doubted(), 1.5, NAN))) == Outcome.UNKNOWN


@pytest.mark.parametrize(
    ("anchor", "expected"),
    [(None, Outcome.CONDITION), (degraded, Outcome.NO_GO), (out, Outcome.NO_GO), (stale, Outcome.NO_GO),
     (doubtful, Outcome.NO_GO)],
)  # fmt: skip
def test_only_an_anchor_in_service_makes_it_a_condition(judged: Judged, anchor: object, expected: Outcome) -> None:
    facts = anchor(doubted(), "GT-03") if callable(anchor) else doubted()

    assert worst(judged(RULE, facts)) == expected


@pytest.mark.parametrize(
    ("engine", "expected"),
    [
        (stale, Outcome.PASSED),  # the test it owes is asked elsewhere
        (degraded, Outcome.CONDITION), (doubtful, Outcome.CONDITION), (out, Outcome.CONDITION),
    ],
)  # fmt: skip
def test_an_engine_at_a_condition_or_worse_is_in_doubt(judged: Judged, engine: object, expected: Outcome) -> None:
    facts = wind(shore(worked_example(1), 1.5), 20.0)

    assert callable(engine)
    assert worst(judged(RULE, engine(facts, "EN-06"))) == expected


def test_a_loss_of_oil_at_a_condition_puts_the_engine_in_doubt(judged: Judged) -> None:
    facts = wind(shore(worked_example(1), 1.5), 20.0)
    (oil,) = facts.boat.consumables
    low = replace(oil, carried_l=0.0, above_minimum_l=replace(oil.above_minimum_l, value=0.45))

    found = judged(RULE, replace(facts, boat=replace(facts.boat, consumables=(low,))))

    assert (worst(found), at_worst(found).cause) == (Outcome.CONDITION, ("consumable", "engine oil"))


def test_it_says_where_how_far_off_and_what_to_do(judged: Judged) -> None:
    ready, not_ready = judged(RULE, doubted()), judged(RULE, degraded(doubted(), "GT-03"))

    assert sentence(ready) == (
        "Wind 20 kn on the shore 1.5 nmi off toward 000° on the way from Ostrel Haven to Brannowmouth, off; the engine "
        "is in doubt, the anchor ready."
    )
    assert at_worst(ready).say(0).do == "Stand further off and have the anchor clear to let go."
    assert "the anchor not known to be ready" in sentence(not_ready)
    assert at_worst(ready).cause == ("equipment", "EN-06")


def test_it_says_the_place_where_it_blows_hardest_on_the_shore(judged: Judged) -> None:
    facts = doubted()
    held = facts.water.forecast
    assert held is not None
    north = held.wind_north_mps.copy()
    north[:6] = 10 * KNOT
    north[9] = 24 * KNOT  # noon

    assert sentence(judged(RULE, forecast(facts, wind_north_mps=north))).startswith(
        "Wind 24 kn on the shore 1.5 nmi off toward 000° on the way from Hallorn Pool, off to Thole Bight, off"
    )


@pytest.mark.parametrize(("home_m", "expected"), [(2.2, Outcome.CONDITION), (-9.0, Outcome.NO_GO)])
def test_a_wind_only_the_late_figure_meets_is_a_condition_where_a_refuge_passes(
    judged: Judged, home_m: float, expected: Outcome
) -> None:
    facts = degraded(degraded(shore(worked_example(1), 1.5), "EN-06"), "GT-03")
    facts = place(leg(facts, refuges=("brannowmouth",) if home_m > 0 else ()), "ostrel", charted_m=home_m)
    held = facts.water.forecast
    assert held is not None
    north = held.wind_north_mps.copy()
    north[11:15] = 18 * KNOT  # from 14:00; by plan she is in at 13:22

    found = judged(RULE, forecast(facts, wind_east_mps=0.0, wind_north_mps=north))

    assert worst(found) == expected
    assert ("Only late: decide before" if expected == Outcome.CONDITION else "No way out") in sentence(found)


def test_the_skipper_may_move_the_distance(judged: Judged) -> None:
    assert worst(judged(RULE, limits(doubted(miles=2.4), lee_shore_m=2.5 * NAUTICAL_MILE))) == Outcome.CONDITION


def test_without_a_forecast_it_settles_itself(judged: Judged) -> None:
    found = at_worst(judged(RULE, water(doubted(), forecast=None)))

    assert (worst([found]), found.cause, ripens(found)) == (Outcome.UNKNOWN, ("forecast", ""), True)


def test_a_sound_engine_sheltered_water_and_a_harbour_move_do_not_ask(judged: Judged) -> None:
    sound = wind(shore(worked_example(1), 1.5), 20.0)
    sheltered = leg(doubted(), segments=tuple(replace(one, exposed=False) for one in doubted().leg.segments))

    for facts in (sound, sheltered, leg(doubted(), harbour_move=True)):
        assert [(one.applies, worst([one])) for one in judged(RULE, facts)] == [(False, Outcome.PASSED)]
    assert RULE.waive == {Outcome.NO_GO: Waive.ONE_LEG, Outcome.CONDITION: Waive.ONE_LEG}


def test_without_a_late_arrival_that_is_what_is_missing_and_it_puts_no_engine_in_doubt(judged: Judged) -> None:
    adrift, sound = (leg(facts, speed_mps=NAN) for facts in (doubted(), wind(shore(worked_example(1), 1.5), 20.0)))

    assert at_worst(judged(RULE, adrift)).cause == ("late arrival", "")
    assert worst(judged(RULE, adrift)) == Outcome.UNKNOWN
    assert [one.applies for one in judged(RULE, sound)] == [False]
