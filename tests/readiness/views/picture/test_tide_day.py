import math
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from django.template.loader import render_to_string

from readiness.views.picture.axis import day_of
from readiness.views.picture.day import HighLow
from readiness.views.picture.tide_day import GateLine, TideDay, draw_tide_day, gate_words
from tests.readiness.views.picture.strips import utc
from vessel.units import HOUR

DAY = day_of(utc(2027, 5, 15, 12), "Europe/Lisbon")
HIGH, LOW = utc(2027, 5, 15, 13, 54), utc(2027, 5, 15, 7, 36)
LOCK = GateLine("Morrowick lock", [(HIGH - 3 * HOUR, HIGH + 2 * HOUR)], [HIGH + 1.75 * HOUR])


def tide(**changes: Any) -> TideDay:
    at = [DAY.start + 600.0 * step for step in range(145)]
    whole = TideDay(
        day=DAY,
        at=at,
        height_m=[2.6 + math.cos((moment - HIGH) / 7116) for moment in at],
        high_low=[HighLow(LOW, 1.6, is_high=False), HighLow(HIGH, 3.6, is_high=True)],
        sun_at=[DAY.start, DAY.start + 6 * HOUR],
        sun_altitude_deg=[-20.0, 10.0],
        gates=[LOCK],
        now=utc(2027, 5, 15, 9),
        now_m=1.9,
    )
    return replace(whole, **changes)


def test_the_sentence_names_each_water_of_the_day() -> None:
    assert draw_tide_day(tide()).sentence == ("Saturday 15 May: high water 14:54 (3.6 m); low water 08:36 (1.6 m).")


def test_waters_of_other_days_are_not_named() -> None:
    yesterday = HighLow(HIGH - 24 * HOUR, 3.5, is_high=True)

    assert "3.5" not in draw_tide_day(tide(high_low=[yesterday])).sentence


def test_a_day_without_a_known_water_says_so() -> None:
    assert draw_tide_day(tide(high_low=[])).sentence == "Saturday 15 May: no high or low water is known."


@pytest.mark.parametrize(
    ("opens", "words"),
    [
        ([(HIGH, HIGH + HOUR)], "from 14:54 to 15:54"),
        ([(DAY.start - HOUR, DAY.start + HOUR)], "until 01:00"),
        ([(DAY.start, DAY.start + HOUR)], "until 01:00"),
        ([(DAY.end - HOUR, DAY.end + 1)], "from 23:00 past midnight"),
        ([(DAY.end - HOUR, DAY.end)], "from 23:00 past midnight"),
        ([(DAY.start, DAY.end)], "open all day"),
        ([(DAY.end, DAY.end + HOUR)], "shut all day"),
        ([(DAY.start - HOUR, DAY.start)], "shut all day"),
        ([], "shut all day"),
    ],
)
def test_a_gate_is_told_for_the_day_it_is_asked_for(opens: list[tuple[float, float]], words: str) -> None:
    assert gate_words(DAY, GateLine("Lock", opens)) == words


def test_a_gate_nobody_knows_is_never_told_as_shut_or_open() -> None:
    assert gate_words(DAY, GateLine("Lock", why_not="the tide there")) == "not known: the tide there"
    assert gate_words(DAY, GateLine("Lock", dark=[(DAY.start, DAY.end)])) == "not known"


def test_a_part_of_the_day_that_nobody_knows_is_said() -> None:
    gate = GateLine("Lock", [(DAY.start, DAY.start + HOUR)], dark=[(DAY.end - HOUR, DAY.end)])

    assert gate_words(DAY, gate) == "until 01:00; not known from 23:00 past midnight"


def test_brackets_stay_on_the_paper() -> None:
    gate = GateLine("Lock", [(DAY.start - HOUR, DAY.start + 6 * HOUR), (DAY.end - 6 * HOUR, DAY.end + HOUR)])

    bands = draw_tide_day(tide(gates=[gate])).gates[0].bands

    assert [(band.x, band.width) for band in bands] == [("0", "25"), ("75", "25")]


def test_now_is_drawn_on_its_own_day_only() -> None:
    assert draw_tide_day(tide()).now.text == "now 1.9 m"
    assert draw_tide_day(tide(now=DAY.end)).now.text == ""
    assert draw_tide_day(tide(now=math.nan)).now.text == ""
    assert draw_tide_day(tide(now_m=math.nan)).now.text == "now"


def test_the_line_is_broken_where_no_height_is_known() -> None:
    heights = list(tide().height_m)
    heights[50:60] = [math.nan] * 10

    assert draw_tide_day(tide(height_m=heights)).curve.count("M") == 2
    assert draw_tide_day(tide(height_m=[math.nan] * 145)).curve == ""


def test_night_lies_behind_and_none_where_the_sun_is_not_known() -> None:
    assert draw_tide_day(tide()).light[0].kind == "shade"
    assert draw_tide_day(tide(sun_altitude_deg=[math.nan, math.nan])).light == ()


@pytest.mark.parametrize(("on", "last"), [(date(2027, 3, 28), "24"), (date(2027, 10, 31), "24")])
def test_a_day_of_23_or_25_hours_has_its_own_scale(on: date, last: str) -> None:
    odd = day_of(utc(on.year, on.month, on.day, 12), "Europe/Lisbon")
    at = [odd.start, odd.end]

    picture = draw_tide_day(tide(day=odd, at=at, height_m=[1.0, 2.0], high_low=[]))

    assert (picture.ticks[0].x, picture.ticks[-1].x, picture.ticks[-1].local) == ("0", "100", last)
    assert picture.curve.startswith("M0 ")
    assert picture.curve.split("L")[1].startswith("1000 ")


def test_low_waters_are_named_under_the_curve_and_high_waters_over_it() -> None:
    text = render_to_string("readiness/picture/tide_day.svg.html", {"picture": draw_tide_day(tide())})

    assert 'dy="16">LW 08:36 1.6 m' in text
    assert 'dy="-9">HW 14:54 3.6 m' in text
    assert "<b>Morrowick lock</b> from 11:54 to 16:54" in text
