"""A new leg: straight, after a route or track of a GPX file, or the way back; once, and never half."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from readiness.feeds.gpx import GpxPoint
from readiness.feeds.gpx_out import write_route
from readiness.forms.new_leg import FoundLine, packed
from readiness.models import Harbour, Leg
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import bare_leg
from tests.readiness.views.asked import NOW, page
from vessel.models import Role
from vessel.units import KNOT

pytestmark = pytest.mark.django_db
LINE = [GpxPoint(46.5, -15.0, "Off Ostrel"), GpxPoint(46.45, -14.5), GpxPoint(46.5, -14.0, "Thole, off")]
TRACK = b'<trk><name>Last year</name><trkseg><trkpt lat="46.5" lon="-15"/><trkpt lat="46.4" lon="-14"/></trkseg></trk>'


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def leg() -> Leg:
    return bare_leg()


@pytest.fixture
def owner(leg: Leg) -> Client:
    return signed_in(aboard(leg.vessel))


def harbour(leg: Leg, key: str) -> Harbour:
    return Harbour.objects.get(vessel=leg.vessel, key=key)


def plan(leg: Leg, /, **sent: Any) -> dict[str, Any]:
    """The form as it is sent."""
    return {
        "once": "k1", "way": "straight", "departure": leg.departure_id, "arrival": leg.arrival_id, "leg": "",
        "planned_at": "2027-06-01T07:30", "speed_mps": "7 kn", "name": "", "lines": "", **sent,
    }  # fmt: skip


def gpx(data: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile("way.gpx", data, "application/gpx+xml")


def made(leg: Leg) -> list[Leg]:
    return list(Leg.objects.exclude(pk=leg.pk))


def test_straight_between_two_harbours(owner: Client, leg: Leg) -> None:
    Harbour.objects.filter(pk=leg.departure_id).update(charted_m=2.2, zone="Europe/Lisbon")

    answer = owner.post("/legs/new/", plan(leg))

    (new,) = made(leg)
    assert (answer.status_code, answer["Location"]) == (302, f"/legs/{new.pk}/route/")
    assert new.planned_at == datetime(2027, 6, 1, 6, 30, tzinfo=UTC)
    assert new.speed_mps == pytest.approx(7 * KNOT)
    assert new.name == "Ostrel to Thole"
    assert list(new.points.values_list("name", "lat_deg", "lon_deg", "charted_m")) == [
        ("Ostrel", 46.5, -15.0, 2.2), ("Thole", 46.5, -14.0, None),
    ]  # fmt: skip
    assert new.segments.count() == 1


def test_after_the_one_route_of_a_file_with_nothing_known_but_its_positions(owner: Client, leg: Leg) -> None:
    answer = owner.post("/legs/new/", plan(leg, way="gpx", file=gpx(write_route("Out", LINE))))

    (new,) = made(leg)
    assert answer.status_code == 302
    names = ("name", "lat_deg", "lon_deg", "charted_m", "depth_matters", "tide_station")
    assert list(new.points.values_list(*names)) == [
        ("Off Ostrel", 46.5, -15.0, None, None, None), ("Point 2", 46.45, -14.5, None, None, None),
        ("Thole, off", 46.5, -14.0, None, None, None),
    ]  # fmt: skip
    assert not new.segments.exclude(exposed=None, stream_table=None, shore_m=None).exists()


def test_of_several_ways_one_is_chosen_and_the_file_is_sent_once(owner: Client, leg: Leg) -> None:
    data = write_route("Out", LINE).replace(b"</gpx>", TRACK + b"</gpx>")

    asked = owner.post("/legs/new/", plan(leg, way="gpx", file=gpx(data)))
    text = asked.content.decode()

    assert asked.status_code == 422
    assert "The file holds several ways: choose one." in text
    assert "Route Out: 41.9 nmi, 3 points." in text
    assert "Track Last year: " in text
    assert made(leg) == []
    lines = text.split('name="lines" value="')[1].split('"')[0]
    answer = owner.post("/legs/new/", plan(leg, way="gpx", lines=lines, line="1", once="k2"))
    (new,) = made(leg)
    assert answer.status_code == 302
    assert list(new.points.values_list("lat_deg", "lon_deg")) == [(46.5, -15.0), (46.4, -14.0)]


def test_a_way_that_begins_elsewhere_is_said(owner: Client, leg: Leg) -> None:
    far = [GpxPoint(46.2, -15.0, "far"), *LINE[1:]]

    answer = owner.post("/legs/new/", plan(leg, way="gpx", file=gpx(write_route("Out", far))), follow=True)

    text = answer.content.decode()
    assert "The way begins 18.0 nmi from Ostrel." in text
    assert "The way ends" not in text


def test_the_way_back_of_a_leg(owner: Client, leg: Leg) -> None:
    leg.segments.create(number=1, name="Out", exposed=True, shore_m=900.0, shore_to_deg=10.0)

    answer = owner.post("/legs/new/", plan(leg, way="back", leg=leg.pk, departure="", arrival="", speed_mps=""))

    (new,) = made(leg)
    assert answer.status_code == 302
    assert (new.departure_id, new.arrival_id, new.speed_mps) == (leg.arrival_id, leg.departure_id, leg.speed_mps)
    assert [point.name for point in new.points.order_by("number")] == ["Thole", "Ostrel"]
    assert list(new.segments.values_list("exposed", "shore_m", "name")) == [(True, 900.0, "Thole to Ostrel")]


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"departure": ""}, "Choose a harbour."),
        ({"arrival": "999999"}, "Select a valid choice"),
        ({"way": "back", "leg": ""}, "Choose the leg."),
        ({"way": "gpx"}, "Choose the GPX file."),
        ({"way": "gpx", "file": gpx(b"not xml")}, "Nothing was taken in."),
        ({"way": "gpx", "file": gpx(b'<gpx version="1.1"><wpt lat="1" lon="2"/></gpx>')}, "holds no route or track"),
        ({"way": "gpx", "file": gpx(b'<gpx version="1.1"><rte><rtept lat="91" lon="2"/></rte></gpx>')}, "latitude"),
        ({"way": "gpx", "lines": "AAAA"}, "was lost on the way"),
        ({"way": "gpx", "lines": packed([FoundLine("x", [("a", 91.0, 0.0), ("b", 0.0, 0.0)])])}, "was lost on the way"),
        ({"planned_at": ""}, "required"),
        ({"planned_at": "2027-05-15T04:59"}, "has gone by"),
        ({"speed_mps": "0"}, "at least"),
        ({"speed_mps": "31 kn"}, "Is “31 kn” right?"),
        ({"way": "sideways"}, "Select a valid choice"),
    ],
)
def test_a_mistake_is_told_and_nothing_is_planned(owner: Client, leg: Leg, sent: dict[str, Any], told: str) -> None:
    if "file" in sent:
        sent["file"].seek(0)

    answer = owner.post("/legs/new/", plan(leg, **sent))

    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert made(leg) == []


def test_what_was_sent_twice_is_planned_once(owner: Client, leg: Leg) -> None:
    answers = [owner.post("/legs/new/", plan(leg)) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert len(made(leg)) == 1


def test_another_boats_leg_is_no_way_to_go_back(owner: Client, leg: Leg) -> None:
    stranger = signed_in(aboard())

    answer = stranger.post("/legs/new/", plan(leg, way="back", leg=leg.pk))

    assert answer.status_code == 422
    assert made(leg) == []


def test_the_form_is_for_those_who_plan(leg: Leg) -> None:
    crew = signed_in(aboard(leg.vessel, Role.CREW))

    assert crew.get("/legs/new/").status_code == 403
    assert "Plan a new leg" not in page(crew, "/legs/")
    assert "Plan a new leg" in page(signed_in(aboard(leg.vessel, Role.SKIPPER)), "/legs/")
