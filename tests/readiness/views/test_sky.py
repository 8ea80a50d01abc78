"""Light, refuges and speed in waves on the leg's page."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine

from readiness.rules.engine import judge
from readiness.rules.facts_boat import SeaSpeed
from readiness.views.sky import sky_of
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import leg as changed_leg
from tests.readiness.rules.alter import vessel, water
from vessel.units import NAUTICAL_MILE

NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)


@pytest.fixture
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


def test_each_refuge_says_when_it_is_in_reach_and_what_keeps_her_from_it() -> None:
    told = sky_of(judge(worked_example(61)), 60)

    lines = told["refuges"]
    assert isinstance(lines, list)
    by_name = {line.name: line for line in lines}
    thole = by_name["Thole Bight"]
    assert (thole.in_reach, thole.why_not) == ("never", "open to the wind")
    assert thole.nearest_m == pytest.approx(0.2 * NAUTICAL_MILE, rel=0.1)
    assert by_name["Ostrel Haven"].in_reach == "until 02:10"
    assert by_name["Ostrel Haven"].why_not == "otherwise 4 h 2 min off"
    assert by_name["Hallorn Pool"].in_reach == "23:00 to 04:05"
    assert told["light_sentence"] == "Dark all the way; moon up until 04:05, 79 % lit; 1 h 19 min without moon."
    assert told["refuge_reach"] == "4 h"


def test_where_nobody_can_tell_when_she_is_where_there_is_no_table() -> None:
    told = sky_of(judge(changed_leg(worked_example(1), speed_mps=0.0)), 0)

    assert told["refuges"] == []
    assert str(told["light_sentence"]).startswith("Light on the way is not known")


@pytest.mark.django_db
@pytest.mark.usefixtures("_hour")
def test_the_page_shows_light_refuges_and_that_nothing_is_taken_off_for_the_sea() -> None:
    row = stored(worked_example(1))

    answer = signed_in(aboard(row.vessel)).get(f"/legs/{row.pk}/")

    text = answer.content.decode()
    assert answer.status_code == 200
    assert "No dark on the way by plan." in text
    assert "Refuges on the way" in text
    assert "In reach within 4 h" in text
    assert "Her speed in waves is not measured: nothing is taken off for the sea." in text


@pytest.mark.django_db
@pytest.mark.usefixtures("_hour")
def test_arrivals_that_reckon_with_a_sea_nobody_knows_say_so_beside_the_times() -> None:
    row = SeaSpeed(height_m=1.0, ahead=0.8, abeam=0.9, astern=1.0)
    unseen = stored(vessel(water(worked_example(1), forecast=None), sea_speeds=(row,)))

    text = signed_in(aboard(unseen.vessel)).get(f"/legs/{unseen.pk}/").content.decode()

    head = text.split('class="head"', 1)[1].split("</section>", 1)[0]
    assert "the sea is not known: her slowest share is taken there, 80 % of her speed" in head
