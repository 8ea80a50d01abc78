"""The route editor without scripts: rows moved, positions typed as people type them, saved whole or not at all."""

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from django.test import Client

from readiness.actions.coastline import take_in_coastline
from readiness.feeds.coastline import Area, CoastFile
from readiness.models import Leg
from tests.readiness.views.sent_route import opened, post, save, segments, sent_back, way
from vessel.models import DueWork, GivenAnswer, HistoryEntry

pytestmark = pytest.mark.django_db
AT = datetime(2027, 5, 1, tzinfo=UTC)
NORTH = np.array([(-16.0, 46.52), (-13.0, 46.52), (-13.0, 47.5), (-16.0, 47.5), (-16.0, 46.52)])


@pytest.fixture
def shoreless(leg: Leg) -> None:
    """Nobody typed how far off the shore lies."""
    leg.segments.update(shore_m=None, shore_to_deg=None)


@pytest.fixture
def coast(shoreless: None, leg: Leg) -> None:
    """Land from a little more than a mile north of the way."""
    file = CoastFile(((NORTH,),), Area(45.0, -16.0, 47.5, -13.0), 5)
    take_in_coastline(vessel=leg.vessel, key="coast", name="Coast", file=file, by="tests", at=AT)


def test_saving_what_stands_changes_nothing_of_it(owner: Client, leg: Leg) -> None:
    before = way(leg), segments(leg)

    answer = save(owner, leg)

    assert (answer.status_code, answer["Location"]) == (302, f"/legs/{leg.pk}/")
    assert (way(leg), segments(leg)) == before


@pytest.mark.parametrize(
    ("lat", "lon", "wanted"),
    [
        ("46 29.5 N", "14 30 W", (46 + 29.5 / 60, -14.5)),
        ("46°29'30\"N", "14°30'00\"W", (46 + 29.5 / 60, -14.5)),
        ("46.4916667", "-14.5", (46.4916667, -14.5)),
        ("N46.5", "W014 30.0", (46.5, -14.5)),
    ],
)
def test_a_position_is_typed_as_people_type_it(
    owner: Client, leg: Leg, lat: str, lon: str, wanted: tuple[float, float]
) -> None:
    save(owner, leg, p2_lat=lat, p2_lon=lon)

    point = leg.points.get(number=3)
    assert (point.lat_deg, point.lon_deg) == pytest.approx(wanted, abs=1e-9)
    assert "way of" in HistoryEntry.objects.latest("number").what
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").exists()


def test_a_point_that_was_not_touched_keeps_all_its_places(owner: Client, leg: Leg) -> None:
    leg.points.filter(number=3).update(lat_deg=46.5012345678, lon_deg=-14.4321098765)

    save(owner, leg, p1_name="Somewhere else")

    point = leg.points.get(number=3)
    assert (point.lat_deg, point.lon_deg) == (46.5012345678, -14.4321098765)
    assert leg.points.get(number=2).name == "Somewhere else"


ASKED = "Typed for the old place: depth and tide. Does that still hold?"


@pytest.mark.parametrize(("lat", "asks"), [("46 30.10 N", False), ("46 30.12 N", True)])  # 185 m and 222 m off
def test_a_point_moved_away_from_its_depth_and_tide_asks_whether_they_hold(
    owner: Client, leg: Leg, lat: str, asks: bool
) -> None:
    text = post(owner, leg, "look", p1_lat=lat)

    assert (ASKED in text) == asks
    assert ("Point 2 was moved 0.1 nmi." in text) == asks


def test_what_was_typed_for_the_old_place_is_kept_and_asked_once_more_when_saved(owner: Client, leg: Leg) -> None:
    before = leg.points.get(number=2)

    page = owner.get(save(owner, leg, p1_lat="46 31 N")["Location"]).content.decode()

    moved = leg.points.get(number=2)
    assert (moved.charted_m, moved.tide_station_id) == (before.charted_m, before.tide_station_id)
    assert f"Point 2 was moved 1.0 nmi. {ASKED}" in page


def test_a_point_with_nothing_typed_for_its_place_is_moved_without_a_question(owner: Client, leg: Leg) -> None:
    text = post(owner, leg, "look", p1_lat="46 31 N", p1_charted_m="", p1_station="", p1_gate="")

    assert "Typed for the old place" not in text


def test_depth_tide_gate_stream_and_line_are_written(owner: Client, leg: Leg) -> None:
    answer = save(
        owner, leg, p1_charted_m="12 ft", p1_depth="no", p1_station="", p1_stream="between tables", p1_kind="geodesic",
        p1_exposed="no", p1_crosses_bar="", p1_shore_m="1 nmi", p1_shore_to_deg="355", p1_segment_name="The flats",
    )  # fmt: skip

    assert answer.status_code == 302
    point, segment = leg.points.get(number=2), leg.segments.get(number=2)
    assert point.charted_m == pytest.approx(12 * 0.3048)
    assert (point.depth_matters, point.tide_station) == (False, None)
    assert (segment.name, segment.kind, segment.exposed, segment.crosses_bar) == ("The flats", "geodesic", False, None)
    assert (segment.stream_by, segment.stream_table) == ("between tables", None)
    assert (segment.shore_m, segment.shore_to_deg) == (1852.0, 355.0)


def test_what_is_left_empty_is_not_known(owner: Client, leg: Leg, shoreless: None) -> None:
    save(owner, leg, p1_charted_m="", p1_depth="", p1_stream="", p1_exposed="")

    point, segment = leg.points.get(number=2), leg.segments.get(number=2)
    assert (point.charted_m, point.depth_matters) == (None, None)
    assert (segment.exposed, segment.stream_table, segment.shore_m) == (None, None, None)


def test_the_shore_comes_from_the_coastline_and_what_is_typed_stands(owner: Client, leg: Leg, coast: None) -> None:
    save(owner, leg, p0_shore_m="0.5 nmi", p0_shore_to_deg="10")

    typed, found = leg.segments.get(number=1), leg.segments.get(number=2)
    assert (typed.shore_m, typed.shore_to_deg) == (926.0, 10.0)
    assert found.shore_m == pytest.approx(0.02 * 60 * 1852, rel=2e-3)
    assert found.shore_to_deg == pytest.approx(0.0, abs=1e-6)
    shown = sent_back(opened(owner, leg.pk))
    assert shown["p0-shore_m"] == "0.5 nmi"
    assert shown["p1-shore_m"] == ""


def test_without_a_coastline_no_shore_is_known(owner: Client, leg: Leg, shoreless: None) -> None:
    save(owner, leg)

    assert set(leg.segments.values_list("shore_m", "shore_to_deg")) == {(None, None)}


def test_a_segment_over_land_is_said_and_is_no_chart(owner: Client, leg: Leg, coast: None) -> None:
    text = post(owner, leg, "look", p2_lat="46 33 N")

    assert "Segment 2 crosses land near 46°31.20′ N 014°" in text
    assert "Segment 3 crosses land near" in text
    assert "is no chart" in text
    assert "Segment 1 crosses" not in text


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"p1_lat": "somewhere"}, "is not a latitude: write it like 46 30.5 N"),
        ({"p1_lat": ""}, "Write it like 46 30.5 N."),
        ({"p1_lon": "46 30 N"}, "is not a longitude"),
        ({"p1_lat": "91 N"}, "a latitude goes no farther than 90"),
        ({"p1_name": ""}, "Name the point"),
        ({"p1_charted_m": "3 pints"}, "3 pints"),
        ({"p1_shore_m": "-1 nmi"}, "at least"),
        ({"p1_shore_to_deg": "361"}, "less than or equal to 360"),
        ({"p1_shore_m": "", "p1_shore_to_deg": "10"}, "Say how far off the shore lies"),
        ({"p1_stream": "table 999999"}, "Select a valid choice"),
        ({"p1_station": "999999"}, "Select a valid choice"),
        ({"count": "1"}, "A route has at least two points"),
        ({"count": "999"}, "A route has at most 100 points"),
        ({"count": ""}, "required"),
    ],
)
def test_a_mistake_is_told_at_its_field_and_nothing_is_changed(
    owner: Client, leg: Leg, sent: dict[str, str], told: str
) -> None:
    before = way(leg), segments(leg)

    answer = save(owner, leg, **sent)

    assert answer.status_code == 422
    assert told in answer.content.decode().replace("&#x27;", "'")
    assert "Not saved yet" in answer.content.decode()
    assert (way(leg), segments(leg)) == before


def test_what_was_sent_twice_is_saved_once(owner: Client, leg: Leg) -> None:
    sent = sent_back(opened(owner, leg.pk), do="save", p1_name="Once")

    answers = [owner.post(f"/legs/{leg.pk}/route/", sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert GivenAnswer.objects.count() == 1
    leg.refresh_from_db()
    assert leg.version == int(sent["version"]) + 1


def test_what_somebody_else_changed_meanwhile_is_kept_and_yours_is_not_lost(owner: Client, leg: Leg) -> None:
    sent = sent_back(opened(owner, leg.pk), do="save", p1_name="Mine")
    save(owner, leg, p1_name="Theirs")

    answer = owner.post(f"/legs/{leg.pk}/route/", sent)

    text = answer.content.decode()
    assert answer.status_code == 422
    assert "changed by somebody else" in text
    assert sent_back(text)["p1-name"] == "Mine"
    assert leg.points.get(number=2).name == "Theirs"
    again = owner.post(f"/legs/{leg.pk}/route/", sent_back(text, do="save"))
    assert again.status_code == 302
    assert leg.points.get(number=2).name == "Mine"


def test_scripts_get_the_sketch_with_what_stands_beside_the_fields(owner: Client, leg: Leg) -> None:
    sent = sent_back(opened(owner, leg.pk), do="look", p1_lat="46 20 N")

    part = owner.post(f"/legs/{leg.pk}/route/", sent, headers={"HX-Request": "true"}).content.decode()

    assert part.lstrip().startswith('<div id="sketch"')
    assert 'id="way-1" class="echoed" hx-swap-oob="true"' in part
    assert "<form" not in part


def test_scripts_get_the_editor_when_rows_move(owner: Client, leg: Leg) -> None:
    sent = sent_back(opened(owner, leg.pk), do="out-1")

    part = owner.post(f"/legs/{leg.pk}/route/", sent, headers={"HX-Request": "true"}).content.decode()

    assert part.lstrip().startswith('<section id="editor"')
    assert "hx-swap-oob" not in part


def test_a_leg_that_is_over_shows_its_route_and_no_form(owner: Client, leg: Leg) -> None:
    Leg.objects.filter(pk=leg.pk).update(status="arrived", departed_at=AT, ended_at=AT.replace(day=2))

    text = owner.get(f"/legs/{leg.pk}/route/").content.decode()

    assert "its route is not changed any more" in text
    assert "route-form" not in text


def test_a_leg_without_a_way_can_be_given_one(owner: Client, leg: Leg) -> None:
    leg.segments.all().delete()
    leg.points.all().delete()

    assert "A route is drawn once two points have a position." in opened(owner, leg.pk)
    two = {"p0_name": "A", "p0_lat": "46 N", "p0_lon": "15 W", "p1_name": "B", "p1_lat": "46 N", "p1_lon": "14 W"}
    assert save(owner, leg, count="2", **two).status_code == 302
    assert [point[0] for point in way(leg)] == ["A", "B"]


@pytest.mark.parametrize("points", [2, 6])
def test_the_editor_costs_the_same_however_long_the_route(
    owner: Client, leg: Leg, points: int, django_assert_max_num_queries: Any
) -> None:
    leg.segments.filter(number__gte=points).delete()
    leg.points.filter(number__gt=points).delete()

    with django_assert_max_num_queries(22):
        opened(owner, leg.pk)


@pytest.mark.parametrize(
    "junk", [{}, {"do": "save"}, {"do": "add"}, {"count": "-1"}, {"count": "9" * 4000}, {"do": "up-x"}]
)
def test_junk_is_answered_and_changes_nothing(owner: Client, leg: Leg, junk: dict[str, str]) -> None:
    before = way(leg)

    answer = owner.post(f"/legs/{leg.pk}/route/", junk)

    assert answer.status_code in {200, 422}
    assert way(leg) == before


def test_a_saved_route_leads_on_to_who_sails_before_anybody_is_ticked(owner: Client, leg: Leg) -> None:
    leg.crew_rows.all().delete()

    assert save(owner, leg)["Location"] == f"/legs/{leg.pk}/crew/"
