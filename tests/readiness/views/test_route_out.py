"""The way to take along: GPX with planned times, the table as CSV that no spreadsheet runs."""

import csv
import io

import gpxpy
import pytest
from django.test import Client

from readiness.feeds.gpx import read_route
from readiness.models import Leg
from readiness.views.route_out import COLUMNS, plain_cell
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import bare_leg
from vessel.models import Role

pytestmark = pytest.mark.django_db


def rows(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_the_route_goes_out_with_names_positions_and_planned_times(crew: Client, leg: Leg) -> None:
    answer = crew.get(f"/legs/{leg.pk}/route.gpx")

    assert answer["Content-Type"] == "application/gpx+xml"
    assert answer["Content-Disposition"] == 'attachment; filename="ostrel-haven-to-morrowick-basin.gpx"'
    here, other = read_route(answer.content).routes[0], gpxpy.parse(answer.content).routes[0]
    assert [point.name for point in here.points] == list(leg.points.order_by("number").values_list("name", flat=True))
    assert [point.lat for point in here.points] == [point.latitude for point in other.points]
    assert [f"{point.time:%H:%M:%S}" for point in (other.points[0], other.points[-1])] == ["06:30:00", "13:22:28"]


def test_another_departure_has_its_own_times(crew: Client, leg: Leg) -> None:
    answer = crew.get(f"/legs/{leg.pk}/route.gpx?at=2027-05-15T17:15Z")

    times = [point.time for point in gpxpy.parse(answer.content).routes[0].points]
    assert f"{times[0]:%H:%M}" == "17:15"
    assert f"{times[-1]:%H:%M:%S}" == "23:43:20"


def test_a_point_nobody_can_time_goes_out_without_a_time() -> None:
    leg = bare_leg()
    viewer = signed_in(aboard(leg.vessel, Role.VIEWER))

    data = viewer.get(f"/legs/{leg.pk}/route.gpx").content

    assert data.count(b"<time>") == 1  # when she means to leave
    assert len(read_route(data).routes[0].points) == 2


@pytest.mark.parametrize(("name", "file"), [("../../Möwe; \r\n <x>", "mowe-x.gpx"), ("???", "leg.gpx")])
def test_the_name_of_the_file_is_made_of_plain_letters(name: str, file: str) -> None:
    leg = bare_leg()
    Leg.objects.filter(pk=leg.pk).update(name=name)

    answer = signed_in(aboard(leg.vessel)).get(f"/legs/{leg.pk}/route.gpx")

    assert answer["Content-Disposition"] == f'attachment; filename="{file}"'
    assert read_route(answer.content).routes[0].name


def test_the_table_goes_out_with_bare_figures_and_units_in_the_heads(crew: Client, leg: Leg) -> None:
    answer = crew.get(f"/legs/{leg.pk}/table.csv")

    table = rows(answer.content)
    assert list(table[0]) == list(COLUMNS)
    assert [row["plan_utc"] for row in (table[0], table[-1])] == ["2027-05-15T06:30:00Z", "2027-05-15T13:22:28Z"]
    assert table[-1]["plan_local"] == "Sat 15 May 14:22"
    assert float(table[3]["over_ground_kn"]) == pytest.approx(5.5, abs=0.05)
    assert float(table[-1]["fuel_used_l"]) == pytest.approx(61.9, abs=0.05)
    assert (table[0]["course_deg"], table[1]["course_deg"], table[3]["sea_from"]) == ("", "90", "astern")


def test_a_name_that_a_spreadsheet_would_run_is_only_a_name(crew: Client, leg: Leg) -> None:
    leg.points.filter(number=2).update(name='=HYPERLINK("http://x","y")')

    assert rows(crew.get(f"/legs/{leg.pk}/table.csv").content)[1]["name"] == '\'=HYPERLINK("http://x","y")'


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        ("=1+1", "'=1+1"), ("+1", "'+1"), ("-1", "'-1"), ("@x", "'@x"), ("\tx", "'\tx"), ("\rx", "'\rx"), ("a=1", "a=1"),
        (-1.25, "-1.25"), (float("nan"), ""), (None, ""), (3, "3"), (0.1 + 0.2, "0.3"),
    ],
)  # fmt: skip
def test_a_cell_is_a_figure_a_word_or_empty_and_never_a_formula(value: str | float | None, cell: str) -> None:
    assert plain_cell(value) == cell


def test_a_leg_without_a_way_has_no_table_and_says_so() -> None:
    leg = bare_leg()
    leg.points.all().delete()

    answer = signed_in(aboard(leg.vessel)).get(f"/legs/{leg.pk}/table.csv")

    assert "has no way yet" in answer.content.decode()
