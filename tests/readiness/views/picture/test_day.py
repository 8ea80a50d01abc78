import math
from dataclasses import replace

import pytest
from django.template.loader import render_to_string

from readiness.views.picture.day import DaySubjects, HighLow, Lane, draw_day
from tests.readiness.views.picture.strips import hour_of, strip, utc

MIDNIGHT = utc(2027, 5, 15)
NAMES = ("Water", "Weather", "Daylight", "Boat", "People", "Stores", "Papers")


def subjects(
    chosen: int = 30, count: int = 192, zone: str = "UTC", start: float = MIDNIGHT, score: str = "100"
) -> DaySubjects:
    plain = strip(lambda m: (1, -1) if hour_of(m) < 10 else (3, -1), start=start, count=count, zone=zone)
    lanes = [Lane(name, plain.verdict, plain.outlook, f"{name} is met", score) for name in NAMES]
    high, low = HighLow(start + 3 * 3600, 3.0, is_high=True), HighLow(start + 9 * 3600, 1.0, is_high=False)
    return DaySubjects(
        zone=zone, at=plain.at, sun_altitude_deg=plain.sun_altitude_deg, tide_m=plain.tide_m,
        tide_place="Ostrel Haven", high_low=[high, low],
        together=Lane("All together", plain.verdict, plain.outlook, "one thing to do", "weakest 74"),
        lanes=lanes, chosen=chosen,
    )  # fmt: skip


def test_each_subject_has_a_lane_a_mark_a_reason_and_a_score() -> None:
    picture = draw_day(subjects())

    assert [lane.name for lane in picture.lanes] == list(NAMES)
    assert [(lane.word, lane.mark.value, lane.score) for lane in picture.lanes] == [("Go if", "go-if", "100")] * 7
    assert [(band.x, band.width) for band in picture.lanes[0].ribbons] == [("0", "41.67")]
    assert picture.title == "Saturday 15 May, by subject"
    assert picture.chosen_x == "31.25"
    assert picture.spoken == "Sat 15 May 07:30, Go if"


def test_a_no_go_shows_no_number() -> None:
    picture = draw_day(subjects(chosen=60))

    assert {(lane.word, lane.score) for lane in picture.lanes} == {("No-go", "")}


@pytest.mark.parametrize(
    ("chosen", "earlier", "later"),
    [
        (0, "", "2027-05-15T00:15Z"),
        (191, "2027-05-16T23:30Z", ""),
        (1, "2027-05-15T00:00Z", "2027-05-15T00:30Z"),
    ],
)
def test_the_neighbours_of_the_chosen_departure(chosen: int, earlier: str, later: str) -> None:
    picture = draw_day(subjects(chosen=chosen))

    assert (picture.earlier, picture.later) == (earlier, later)


def test_high_and_low_water_stand_on_the_curve_with_their_time() -> None:
    picture = draw_day(subjects())

    assert [mark.text for mark in picture.tide_marks] == ["03:00 3.0 m", "09:00 1.0 m"]
    assert [mark.anchor for mark in picture.tide_marks] == ["start", "middle"]
    assert float(picture.tide_marks[0].y) < float(picture.tide_marks[1].y)


def test_a_height_not_known_is_left_out_of_the_curve() -> None:
    plain = subjects()
    picture = draw_day(replace(plain, tide_m=[math.nan] * 192, high_low=[HighLow(MIDNIGHT, math.nan, is_high=True)]))

    assert picture.tide == ""
    assert picture.tide_marks == ()


def test_a_day_of_25_hours_is_drawn_whole() -> None:
    picture = draw_day(subjects(zone="Europe/London", start=utc(2027, 10, 30, 23), count=100, chosen=10))

    assert picture.day.hours == 25
    assert (picture.together.base.x, picture.together.base.width) == ("0", "100")


def test_the_page_says_each_verdict_in_words() -> None:
    html = render_to_string("readiness/picture/day.svg.html", {"picture": draw_day(subjects())})

    assert html.count("Go if:") == 7
    assert "weakest 74" in html
    assert html.count("its score of 100, held down by its worst answer; “?”: something in it is not known") == 1
    assert "03:00 3.0 m" in html
