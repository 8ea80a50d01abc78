"""Waits for a gate on the leg's page."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine

from readiness.models import Gate, Harbour, Leg
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from vessel.models import Vessel
from vessel.units import HOUR, MINUTE

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(datetime(2027, 5, 15, 5, 0, tzinfo=UTC), tick=False):
        yield


def leg_page(leg: Leg) -> str:
    answer = signed_in(aboard(leg.vessel)).get(f"/legs/{leg.pk}/")
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def shut_for_two_hours(zone: str) -> Leg:
    """The keeper opens two hours after she is there by plan, which is at 14:22:28 by his clock."""
    leg = stored(worked_example(1))
    keeper = {"keeps_hours": True, "opens_local_s": 16 * HOUR + 22 * MINUTE + 28, "closes_local_s": 22 * HOUR}
    Gate.objects.filter(key="morrowick-lock").update(after_s=5 * HOUR, **keeper)
    roads = Harbour.objects.get(key="vessary")
    Harbour.objects.filter(pk=roads.pk).update(zone=zone, night_price=18.5)
    roads.shelter_sectors.update(from_deg=0.0, to_deg=360.0)
    Vessel.objects.update(currency="EUR")
    return leg


def test_it_says_where_how_long_and_that_nothing_is_to_pay_by_day() -> None:
    text = leg_page(shut_for_two_hours("Europe/Lisbon"))

    assert "she waits at Vessary Roads <b>2 h</b>, until Sat 15 May 16:22 (15:22 UTC)." in text
    assert "From Sat 15 May 14:22 (13:22 UTC); no night to pay. Arrives about Sat 15 May 16:22 (15:22 UTC)." in text


def test_over_midnight_by_the_clock_there_it_says_the_price() -> None:
    text = leg_page(shut_for_two_hours("Etc/GMT-10"))

    assert "one night, EUR 18.50." in text


def test_without_a_wait_nothing_is_said_of_waiting() -> None:
    text = leg_page(stored(worked_example(1)))

    assert "Waiting" not in text
