"""Light on the way: sun and moon where she is, spell by spell, and the sentence."""

from datetime import UTC, datetime

import numpy as np
import pytest

from readiness.calc.daylight import CIVIL, sun_altitude, sun_events
from readiness.calc.moon import moon_above, moon_events
from readiness.rules.facts import Facts, changed
from readiness.rules.night_light import Light, light_sentence, night_light
from readiness.rules.under_way import passage_of
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import LATITUDE, longitude
from tests.readiness.rules.alter import leg
from vessel.units import DAY, HOUR, MINUTE

EVENING, NIGHT, MIDNIGHT = 43, 60, 70


def told(index: int, facts: Facts | None = None) -> str:
    held = facts or worked_example(96)
    return light_sentence(held, night_light(held, passage_of(held), index))


@pytest.mark.parametrize(
    ("index", "sentence"),
    [
        (0, "No dark on the way by plan."),
        (EVENING, "Dark from 21:59; moon up all the while, 79 % lit; never without moon."),
        (NIGHT, "Dark all the way; moon up until 04:05, 79 % lit; 1 h 19 min without moon."),
        (MIDNIGHT, "Dark until 05:46; moon up until 04:07, 80 % lit; 1 h 39 min without moon."),
    ],
)
def test_the_sentence_of_the_worked_days(index: int, sentence: str) -> None:
    assert told(index) == sentence


def in_may(day: int, hour: int) -> Facts:
    """One departure of another day of the worked month."""
    facts = worked_example(1)
    first = datetime(2027, 5, day, hour, tzinfo=UTC)
    return changed(facts, departures=type(facts.departures)(first=first, every_s=900.0, count=1))


def test_before_moonrise_the_time_without_moon_is_counted() -> None:
    assert told(0, in_may(23, 20)) == "Dark from 22:12; moon up from 00:48, 88 % lit; 2 h 37 min without moon."


def test_a_night_without_a_moon_says_so() -> None:
    facts = in_may(24, 17)
    arrives = passage_of(facts).plan.arrives_at[0]
    rises = moon_events(LATITUDE, longitude(48), arrives - 6 * HOUR, arrives + 6 * HOUR).opens_at[-1]

    sentence = told(0, facts)

    assert rises > arrives
    assert sentence == "Dark from 22:11; no moon, 2 h 11 min of it."


def test_the_dark_begins_at_dusk_where_she_then_is() -> None:
    facts = worked_example(96)
    passage = passage_of(facts)

    light = night_light(facts, passage, EVENING)

    dusk = light.dark[0].start
    mile_lon = float(np.interp(dusk, passage.plan.node_at[EVENING], passage.track.node_lon_deg))
    assert float(np.asarray(sun_altitude(dusk, LATITUDE, mile_lon))) == pytest.approx(CIVIL, abs=0.001)
    at_home = sun_events(LATITUDE, -15.0, dusk - HOUR, dusk + HOUR, CIVIL).closes_at[0]
    assert 60 < at_home - dusk < 5 * MINUTE


def test_every_node_has_its_light_and_its_moon() -> None:
    facts = worked_example(96)
    passage = passage_of(facts)

    light = night_light(facts, passage, NIGHT)

    lows = [Light.DAY, Light.CIVIL, Light.NAUTICAL, Light.ASTRONOMICAL, Light.NIGHT]
    sun = np.asarray(sun_altitude(light.at, passage.track.node_lat_deg, passage.track.node_lon_deg))
    assert [lows[int(np.digitize(-one, [0.833, 6, 12, 18]))] for one in sun] == light.light.tolist()
    up = [
        bool(np.asarray(moon_above(lat, lon)(np.array([at])))[0])
        for at, lat, lon in zip(light.at, passage.track.node_lat_deg, passage.track.node_lon_deg, strict=True)
    ]
    assert light.moon_up.tolist() == up
    assert set(up) == {True, False}


def test_time_with_and_without_a_moon_make_up_the_dark() -> None:
    facts = worked_example(96)

    light = night_light(facts, passage_of(facts), NIGHT)

    with_moon = sum(spell.end - spell.start for spell in light.moon)
    assert with_moon + light.moonless_s == pytest.approx(light.dark_s, abs=1.0)
    sets = moon_events(LATITUDE, longitude(44), light.at[0], light.at[0] + DAY).closes_at[0]
    assert light.moon[0].end == pytest.approx(sets, abs=3 * MINUTE)


def test_where_nobody_can_tell_when_she_arrives_the_light_is_not_known() -> None:
    facts = leg(worked_example(1), speed_mps=0.0)

    light = night_light(facts, passage_of(facts), 0)

    assert light_sentence(facts, light) == "Light on the way is not known: nobody can tell when she arrives."
    assert set(light.light.tolist()) == {-1}
    assert not light.moon_up.any()
    assert np.isnan(light.moonless_s)
