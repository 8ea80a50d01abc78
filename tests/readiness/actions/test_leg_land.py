"""What the coastline says of a way when it is saved, and again when another coastline is taken in."""

from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest

from readiness.actions.coastline import take_coastline_away, take_in_coastline
from readiness.actions.leg import change_way, end_leg, plan_leg
from readiness.feeds.coastline import Area, CoastFile
from readiness.models import Coastline, Harbour, Leg, LegStatus
from tests.factories.vessel import a_vessel
from vessel.models import Vessel

pytestmark = pytest.mark.django_db
ISLAND = np.array([(-14.8, 46.4), (-14.2, 46.4), (-14.2, 46.6), (-14.8, 46.6), (-14.8, 46.4)])
AREA = Area(45.5, -16.0, 47.5, -13.0)
MILE_DEG = 1 / 60


def taken(vessel: Vessel, at: datetime) -> Coastline:
    return take_in_coastline(
        vessel=vessel, key="coast", name="Coast", file=CoastFile(((ISLAND,),), AREA, 5), by="tests", at=at
    )


def along(*places: tuple[float, float]) -> dict[str, Any]:
    points = [
        {"name": f"P{number}", "lat_deg": lat, "lon_deg": lon} for number, (lat, lon) in enumerate(places, start=1)
    ]
    return {"points": points, "segments": [{} for _ in places[1:]]}


def planned(vessel: Vessel, at: datetime, *places: tuple[float, float]) -> Leg:
    harbour = Harbour.objects.create(
        vessel=vessel, key="ostrel", name="Ostrel", zone="UTC", lat_deg=46.5, lon_deg=-15.0
    )
    return plan_leg(
        vessel=vessel, name="Over", departure=harbour, arrival=harbour, planned_at=at + timedelta(hours=1),
        by="tests", at=at, **along(*places),
    )  # fmt: skip


def lands(leg: Leg) -> list[str]:
    return list(leg.segments.order_by("number").values_list("land", flat=True))


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        ([(46.5, -15.0), (46.5, -14.0)], ["crossed"]),
        ([(46.5, -15.0), (46.8, -14.5), (46.5, -14.0)], ["clear", "clear"]),
        ([(46.5, -15.0), (46.7, -15.0), (46.7, -12.5)], ["clear", "not looked"]),  # leaves what is drawn
        ([(46.5, -15.0), (46.5, -12.5)], ["crossed"]),  # leaves it, and is over land before
        ([(46.3, -14.5), (46.4 + 0.3 * MILE_DEG, -14.5)], ["at an end"]),  # a harbour that is drawn on land
        ([(46.3, -14.5), (46.4 + 1.2 * MILE_DEG, -14.5)], ["crossed"]),  # too far inland for that
    ],
)  # fmt: skip
def test_a_way_is_looked_at_when_it_is_planned(
    places: list[tuple[float, float]], expected: list[str], at: datetime
) -> None:
    vessel = a_vessel()
    taken(vessel, at)

    assert lands(planned(vessel, at, *places)) == expected


def test_another_way_is_looked_at_again(at: datetime) -> None:
    vessel = a_vessel()
    taken(vessel, at)
    leg = planned(vessel, at, (46.5, -15.0), (46.8, -14.5), (46.5, -14.0))

    change_way(leg_id=leg.pk, seen_version=1, by="tests", at=at, **along((46.5, -15.0), (46.5, -14.0)))

    assert lands(leg) == ["crossed"]


def test_a_word_on_land_is_worked_out_never_taken_from_outside(at: datetime) -> None:
    vessel = a_vessel()
    taken(vessel, at)
    leg = planned(vessel, at, (46.5, -15.0), (46.8, -14.5))
    way = along((46.5, -15.0), (46.5, -14.0))

    change_way(leg_id=leg.pk, seen_version=1, by="tests", at=at, points=way["points"], segments=[{"land": "clear"}])

    assert lands(leg) == ["crossed"]


def test_legs_to_come_are_looked_at_again_with_every_coastline_taken_in_and_away(at: datetime) -> None:
    vessel = a_vessel()
    leg = planned(vessel, at, (46.5, -15.0), (46.5, -14.0))
    before = lands(leg)

    held = taken(vessel, at)
    with_it = lands(leg)
    take_coastline_away(coastline=held, seen_version=1, by="tests", at=at)

    assert (before, with_it, lands(leg)) == (["not looked"], ["crossed"], ["not looked"])


def test_a_leg_that_is_over_keeps_what_was_said_of_it(at: datetime) -> None:
    vessel = a_vessel()
    leg = planned(vessel, at, (46.5, -15.0), (46.5, -14.0))
    end_leg(leg_id=leg.pk, status=LegStatus.CALLED_OFF, by="tests", at=at)

    taken(vessel, at)

    assert lands(leg) == ["not looked"]
