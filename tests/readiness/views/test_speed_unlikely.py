"""Speeds and litres that can hardly be: refused, or asked about and kept where it is so."""

from collections.abc import Iterator

import pytest
import time_machine
from django.test import Client

from tests.factories.aboard import aboard, signed_in
from tests.factories.vessel import SOUND
from tests.readiness.views.asked import page
from tests.readiness.views.test_speed_change import NOW, RUN, SPEED
from vessel.models import FuelUse, SpeedPoint
from vessel.units import KNOT

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def owner(point: SpeedPoint) -> Client:
    return signed_in(aboard(point.vessel))


@pytest.fixture
def point() -> SpeedPoint:
    """7 kn and 9 litres an hour at 1,800 rpm."""
    made: SpeedPoint = SOUND[SpeedPoint](vessel=aboard().vessel, speed_mps=7 * KNOT, burn_l_per_h=9.0)
    return made


@pytest.mark.parametrize(
    ("rpm", "speed", "status"),
    [("2200", "7 kn", 302), ("2200", "6.9 kn", 422), ("1600", "7 kn", 302), ("1600", "7.1 kn", 422),
     ("2200", "40 kn", 302), ("2200", "40.1 kn", 422)],
)  # fmt: skip
def test_a_row_slower_at_more_revolutions_or_too_fast_is_refused(
    owner: Client, point: SpeedPoint, rpm: str, speed: str, status: int
) -> None:
    answer = owner.post("/boat/speed/table/add/", {**SPEED, "rpm": rpm, "speed_mps": speed})

    text = answer.content.decode()
    assert (answer.status_code, SpeedPoint.objects.count()) == (status, 2 if status == 302 else 1)
    if status == 422:
        assert "she does not slow down as the revolutions rise" in text or "Is “40.1 kn” right?" in text


def test_a_row_is_not_held_against_itself(owner: Client, point: SpeedPoint) -> None:
    answer = owner.post(f"/boat/speed/table/{point.pk}/", {**SPEED, "version": "1", "speed_mps": "6 kn"})

    point.refresh_from_db()
    assert answer.status_code == 302
    assert point.speed_mps == pytest.approx(6 * KNOT)


@pytest.mark.parametrize(
    ("used", "why"),
    [
        ("1800 L", ""),
        ("1801 L", "1801 L in 9 h is 200 L an hour, more than 200. Is it right?"),
        ("243 L", ""),
        ("244 L", "244 L is 3.0 times the 81 L that her table expects of 9 h. Is it right?"),
    ],
)
def test_litres_hardly_possible_are_asked_about_and_kept_where_it_is_so(
    owner: Client, point: SpeedPoint, used: str, why: str
) -> None:
    if used.startswith("180"):
        SpeedPoint.objects.all().delete()  # no table to hold it against

    answer = owner.post("/boat/speed/runs/add/", {**RUN, "used_l": used})
    first = FuelUse.objects.count()
    again = owner.post("/boat/speed/runs/add/", {**RUN, "used_l": used, "is_so": "on"}) if why else answer

    assert (answer.status_code, first, again.status_code, FuelUse.objects.count()) == (
        (422, 0, 302, 1) if why else (302, 1, 302, 1)
    )
    assert why in answer.content.decode()
    assert ("It is so" in answer.content.decode()) == bool(why)


def test_the_tick_is_not_shown_before_it_is_asked_for(owner: Client) -> None:
    assert "It is so" not in page(owner, "/boat/speed/runs/add/")
