from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vessel.calc import wording

LONDON, LISBON, KIRITIMATI, MARQUESAS = (
    "Europe/London", "Europe/Lisbon", "Pacific/Kiritimati", "Pacific/Marquesas",
)  # fmt: skip


def utc(*when: int) -> float:
    return datetime(*when, tzinfo=UTC).timestamp()  # type: ignore[misc, arg-type]


SAT = utc(2027, 5, 15, 6, 30)


@pytest.mark.parametrize(
    "say",
    [
        wording.number, wording.knots, wording.miles, wording.metres, wording.degrees, wording.compass_point,
        wording.duration, wording.age, lambda x: wording.toward_limit(x, 1.0), lambda x: wording.margin(x, "min"),
        lambda x: wording.clock(x, LONDON), lambda x: wording.local_time(x, LONDON),
        lambda x: wording.local_date(x, LONDON), lambda x: wording.with_utc(x, LONDON),
        lambda x: wording.zone_name(x, LONDON),
    ],
)  # fmt: skip
@pytest.mark.parametrize("value", [float("nan"), None, float("inf"), -float("inf"), np.float64("nan")])
def test_what_is_not_known_says_so(say: Callable[[Any], str], value: Any) -> None:
    assert say(value) == "not known"


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(1900, 0, "1,900"), (0.05, 1, "0.1"), (-0.3, 1, "−0.3"), (-0.04, 1, "0.0"), (-0.0, 0, "0"), (12.345, 2, "12.35")],
)
def test_number(value: Any, decimals: int, text: str) -> None:
    assert wording.number(value, decimals) == text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (wording.knots(12 * 1852 / 3600), "12 kn"),
        (wording.knots(np.float64(0.25), 1), "0.5 kn"),
        (wording.miles(48 * 1852.0), "48.0 nmi"),
        (wording.miles(48 * 1852.0, 0), "48 nmi"),
        (wording.metres(1.6), "1.6 m"),
        (wording.metres(1.25, 2), "1.25 m"),
        (wording.with_unit(40, "L"), "40 L"),
        (wording.with_unit(float("nan"), "L"), "not known"),
        (wording.with_unit(4.2, "", 1), "4.2"),
    ],
)
def test_figures_carry_their_unit(text: str, words: str) -> None:
    assert text == words


@pytest.mark.parametrize(
    ("angle", "text"), [(0, "000°"), (90, "090°"), (359.4, "359°"), (359.6, "000°"), (360, "000°"), (-10, "350°")]
)
def test_courses_have_three_figures(angle: float, text: str) -> None:
    assert wording.degrees(angle) == text


@pytest.mark.parametrize(
    ("angle", "point"),
    [(0, "N"), (11.24, "N"), (11.26, "NNE"), (45, "NE"), (270, "W"), (292.5, "WNW"), (349, "N"), (-90, "W")],
)
def test_points_of_the_compass(angle: float, point: str) -> None:
    assert wording.compass_point(angle) == point


@pytest.mark.parametrize(
    ("value", "limit", "decimals", "text"),
    [
        (61.8, 0, 0, "61"),  # what is left is never rounded up
        (-61.8, 0, 0, "−61"),
        (1.19, 1.25, 1, "1.2"),
        (7.96, 8, 1, "7.96"),  # 8.0 would be the limit itself
        (8, 8, 1, "8.0"),
        (1.26, 1.25, 1, "1.26"),  # 1.2 would be on the other side
        (0.4, 0, 0, "0.4"),  # a little is not nothing
        (0.00004, 0, 0, "0.000"),
        (0.1 + 0.2, 0.3, 1, "0.3"),  # binary dust is not a difference
        (61.8, float("nan"), 0, "62"),
    ],
)
def test_figures_round_toward_their_limit_but_not_onto_it(value: Any, limit: float, decimals: int, text: str) -> None:
    assert wording.toward_limit(value, limit, decimals) == text


@given(st.floats(-1e5, 1e5), st.integers(-100, 100), st.integers(0, 3))
def test_a_rounded_figure_never_looks_farther_from_its_limit_nor_past_it(
    value: Any, limit: float, decimals: int
) -> None:
    text = wording.toward_limit(value, limit, decimals).replace(",", "").replace("−", "-")

    printed = float(text)

    assert (printed - limit) * (value - limit) >= 0
    assert abs(printed - limit) <= abs(value - limit) + 1e-9


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "0 s"), (45, "45 s"), (59.6, "1 min"), (60, "1 min"), (840, "14 min"), (3599, "1 h"), (3600, "1 h"),
        (6120, "1 h 42 min"), (86400, "24 h"), (2 * 86400 - 1, "48 h"), (2 * 86400, "2 d"), (2.125 * 86400, "2 d 3 h"),
        (-90 * 60, "−1 h 30 min"), (-0.2, "0 s"),
    ],
)  # fmt: skip
def test_duration(seconds: float, text: str) -> None:
    assert wording.duration(seconds) == text


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0, "just now"), (59, "just now"), (60, "1 min"), (13_200, "3 h 40 min"), (3 * 3600, "3 h"),
        (47 * 3600, "47 h"), (2 * 86400, "2 d"), (9.9 * 86400, "9 d"), (-30, "just now"),
        (730.4 * 86400, "730 d"), (730.5 * 86400, "2 years"), (15.2 * 365.25 * 86400, "15 years"),
        (-60, "dated ahead of the clock"),
    ],
)  # fmt: skip
def test_age(seconds: float, text: str) -> None:
    assert wording.age(seconds) == text


def test_times_are_local_with_utc() -> None:
    assert wording.local_time(SAT, LISBON) == "Sat 15 May 07:30"
    assert wording.clock(SAT, LISBON) == "07:30"
    assert wording.local_date(SAT, LISBON, year=True) == "Sat 15 May 2027"
    assert wording.with_utc(SAT, LISBON) == "Sat 15 May 07:30 (06:30 UTC)"
    assert wording.with_utc(SAT, "UTC") == "Sat 15 May 06:30 UTC"


@pytest.mark.parametrize("toward", [-1, 1])
def test_more_than_half_a_year_away_the_year_is_told(toward: int) -> None:
    half = 365.25 / 2 * 86400

    near, far = SAT + toward * half, SAT + toward * (half + 1)

    assert wording.with_utc(SAT, LISBON, now=near) == "Sat 15 May 07:30 (06:30 UTC)"
    assert wording.with_utc(SAT, LISBON, now=far) == "Sat 15 May 2027 07:30 (06:30 UTC)"
    assert wording.with_utc(SAT, "UTC", now=far) == "Sat 15 May 2027 06:30 UTC"
    assert wording.with_utc(SAT, MARQUESAS, now=far) == "Fri 14 May 2027 21:00 (Sat 15 May 2027 06:30 UTC)"
    assert (wording.local_time(SAT, LISBON, now=near), wording.local_time(SAT, LISBON, now=far)) == (
        "Sat 15 May 07:30",
        "Sat 15 May 2027 07:30",
    )


@pytest.mark.parametrize("now", [None, float("nan"), float("inf")])
def test_without_a_clock_no_year_is_told(now: float | None) -> None:
    assert wording.local_date(SAT, LISBON, now=now) == "Sat 15 May"


def test_utc_names_its_day_where_it_differs() -> None:
    assert wording.with_utc(utc(2027, 5, 15, 23, 30), LISBON) == "Sun 16 May 00:30 (Sat 15 May 23:30 UTC)"
    assert wording.with_utc(SAT, KIRITIMATI) == "Sat 15 May 20:30 (06:30 UTC)"
    assert wording.with_utc(SAT, MARQUESAS) == "Fri 14 May 21:00 (Sat 15 May 06:30 UTC)"


def test_the_hour_that_comes_twice_is_told_apart() -> None:
    first, second = utc(2027, 10, 31, 0, 30), utc(2027, 10, 31, 1, 30)

    assert wording.local_time(first, LONDON) == wording.local_time(second, LONDON) == "Sun 31 Oct 01:30"
    assert wording.with_utc(first, LONDON) == "Sun 31 Oct 01:30 (00:30 UTC)"
    assert wording.with_utc(second, LONDON) == "Sun 31 Oct 01:30 UTC"
    assert (wording.zone_name(first, LONDON), wording.zone_name(second, LONDON)) == ("BST", "GMT")


def test_the_hour_that_is_left_out_in_spring() -> None:
    assert wording.with_utc(utc(2027, 3, 28, 0, 59), LONDON) == "Sun 28 Mar 00:59 UTC"
    assert wording.with_utc(utc(2027, 3, 28, 1, 0), LONDON) == "Sun 28 Mar 02:00 (01:00 UTC)"


def test_a_clock_shows_the_minute_gone_by_and_forgives_binary_dust() -> None:
    assert wording.clock(SAT + 59.9, LISBON) == "07:30"
    assert wording.clock(SAT - 0.0001, LISBON) == "07:30"
    assert wording.clock(SAT - 1, LISBON) == "07:29"


def test_a_zone_without_a_name_is_told_from_utc() -> None:
    assert wording.zone_name(SAT, "Asia/Kathmandu") == "UTC+0545"
    assert wording.zone_name(SAT, "America/Sao_Paulo") == "UTC−03"


@pytest.mark.parametrize("moment", [1e20, -1e20])
def test_a_moment_no_calendar_holds_is_not_known(moment: float) -> None:
    assert wording.with_utc(moment, LONDON) == "not known"


@given(st.floats(0, 4e9), st.sampled_from([LONDON, LISBON, KIRITIMATI, MARQUESAS]))
def test_no_date_is_made_of_bare_figures(moment: float, zone: str) -> None:
    assert "/" not in wording.with_utc(moment, zone)
    assert wording.with_utc(moment, zone).split()[2] in wording.MONTHS


@pytest.mark.parametrize(
    ("typed", "shown"), [("46\n30 N", "46 30 N"), ("a\x00b\x7f", "a b "), ("46° 30′ N", "46° 30′ N"), ("", "")]
)
def test_what_was_typed_fits_into_one_line(typed: str, shown: str) -> None:
    assert wording.one_line(typed) == shown


@pytest.mark.parametrize(("count", "words"), [(0, "0 parts"), (1, "1 part"), (2, "2 parts"), (1200, "1,200 parts")])
def test_one_of_a_thing_has_no_s(count: int, words: str) -> None:
    assert wording.counted(count, "part") == words


def test_more_of_a_thing_may_have_a_word_of_its_own() -> None:
    assert (wording.counted(1, "foot", "feet"), wording.counted(3, "foot", "feet")) == ("1 foot", "3 feet")


def test_the_time_of_day_says_utc_once_where_it_is_the_zone() -> None:
    at = utc(2027, 7, 1, 15, 26)

    assert wording.clock_with_utc(at, "UTC") == "15:26 UTC"
    assert wording.clock_with_utc(at, "Atlantic/Reykjavik") == "15:26 UTC"
    assert wording.clock_with_utc(at, LONDON) == "16:26 (15:26 UTC)"
    assert wording.clock_with_utc(None, LONDON) == "not known"
