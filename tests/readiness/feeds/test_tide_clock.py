from datetime import UTC, timedelta, tzinfo

import pytest

from readiness.feeds.tide_clock import (
    moment,
    month_comes_first,
    read_written,
    standard_offset_h,
    zone_called,
    zone_in_header,
)
from readiness.feeds.tide_sheet import Row
from tests.factories.tide import epoch
from vessel.errors import BadInput

NEW_YORK = zone_called("America/New_York")


def when(text: str, zone: tzinfo | None = UTC, *, month_first: bool = False) -> float | None:
    written = read_written(Row(7, (text,)), text, "time")
    return moment(written, zone, "time", month_first=month_first)


@pytest.mark.parametrize(
    "text",
    [
        "2026-04-03 14:05",
        "2026-04-03T14:05Z",
        "2026-04-03T16:05:00+02:00",
        "2026-04-03T08:35-0530",
        "2026/04/03 14:05:00.000",
        "2026-4-3 14:05",
        "3.4.2026 14:05",
        "03/04/2026  14:05",
    ],
)
def test_times_written_in_many_ways_are_one_moment(text: str) -> None:
    assert when(text) == epoch("2026-04-03T14:05Z")


def test_month_first_is_read_so_when_that_is_settled() -> None:
    assert when("04/03/2026 14:05", month_first=True) == epoch("2026-04-03T14:05Z")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("2026-02-30 10:00", "does not exist"),
        ("2026-04-03 25:00", "does not exist"),
        ("2026-13-01 10:00", "does not exist"),
        ("03/04/26 10:00", "is not a date and time"),
        ("2026-04-03", "is not a date and time"),
        ("1799-12-31 10:00", "The year 1799 lies outside 1800 to 2199"),
        ("2200-01-01 10:00", "The year 2200 lies outside 1800 to 2199"),
        ("2026-04-03 10:00+15:00", "has no possible zone"),
        ("٢٠٢٦-04-03 10:00", "is not a date and time"),
    ],
)
def test_times_that_cannot_be_are_refused_with_line_and_column(text: str, sentence: str) -> None:
    with pytest.raises(BadInput, match=f"^Line 7, column time: .*{sentence}"):
        when(text)


def test_wall_time_follows_the_zone_through_summer_and_winter() -> None:
    assert when("2017-07-01 08:00", NEW_YORK) == epoch("2017-07-01T12:00Z")
    assert when("2017-01-01 08:00", NEW_YORK) == epoch("2017-01-01T13:00Z")


def test_a_wall_time_that_came_twice_is_no_moment() -> None:
    assert when("2017-11-05 00:59", NEW_YORK) == epoch("2017-11-05T04:59Z")
    assert when("2017-11-05 01:00", NEW_YORK) is None
    assert when("2017-11-05 01:59", NEW_YORK) is None
    assert when("2017-11-05 02:00", NEW_YORK) == epoch("2017-11-05T07:00Z")


def test_a_wall_time_the_clocks_jumped_over_is_refused() -> None:
    with pytest.raises(BadInput, match="clocks jumped over"):
        when("2017-03-12 02:30", NEW_YORK)


def test_an_offset_in_the_time_goes_before_the_zone() -> None:
    assert when("2017-11-05 01:30-04:00", NEW_YORK) == epoch("2017-11-05T05:30Z")


def test_a_time_without_any_zone_is_asked_about() -> None:
    with pytest.raises(BadInput, match="The times have no zone"):
        when("2026-04-03 10:00", None)


def order_of(*texts: str, answer: str | None = None) -> bool:
    return month_comes_first([read_written(Row(i, (t,)), t, "time") for i, t in enumerate(texts, 2)], answer, "time")


def test_a_number_above_twelve_settles_the_order_of_all_dates() -> None:
    assert not order_of("03/04/2026 10:00", "13/04/2026 10:00")
    assert order_of("03/04/2026 10:00", "03/13/2026 10:00")


def test_an_open_order_is_asked_and_the_answer_taken() -> None:
    with pytest.raises(BadInput, match=r"^Line 2, column time: Is '03/04/2026 10:00' day first or month first\?"):
        order_of("03/04/2026 10:00", "12/12/2026 10:00")
    assert order_of("03/04/2026 10:00", answer="month first")
    assert not order_of("03/04/2026 10:00", answer="day first")


def test_two_orders_in_one_file_are_refused() -> None:
    with pytest.raises(BadInput, match="puts the month first, line 2 the day"):
        order_of("13/04/2026 10:00", "04/13/2026 10:00", answer="day first")


@pytest.mark.parametrize(
    ("name", "hours"),
    [("UTC", 0), ("UTC+1", 1), ("fixed UTC+1", 1), ("UTC-03:30", -3.5), ("GMT", 0), ("Asia/Tokyo", 9)],
)
def test_zones_go_by_several_names(name: str, hours: float) -> None:
    assert standard_offset_h(zone_called(name), 2020) == hours


@pytest.mark.parametrize("name", ["Nowhere/Land", "../etc/passwd", "America", "UTC+99", "", "a\0b", "x" * 5000])
def test_a_zone_that_is_none_is_refused(name: str) -> None:
    with pytest.raises(BadInput):
        zone_called(name)


def test_standard_time_is_the_smaller_offset_north_and_south() -> None:
    assert standard_offset_h(NEW_YORK, 2020) == -5
    assert standard_offset_h(zone_called("Australia/Sydney"), 2020) == 10


def test_zone_stands_in_the_header_or_not() -> None:
    east, west = zone_in_header("phase_deg_met_utcplus1"), zone_in_header("time_utcminus3h30")
    assert east is not None
    assert west is not None
    assert east.utcoffset(None) == timedelta(hours=1)
    assert west.utcoffset(None) == timedelta(hours=-3.5)
    assert zone_in_header("time_utc") is UTC
    assert zone_in_header("local_wall_time_pst") is None
