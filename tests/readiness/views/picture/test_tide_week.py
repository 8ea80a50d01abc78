import math
from datetime import date
from itertools import pairwise

import pytest

from readiness.views.picture.axis import day_of
from readiness.views.picture.day import HighLow
from readiness.views.picture.tide_day import GateLine
from readiness.views.picture.tide_week import days_from, week_gate_words, week_rows, zone_words
from tests.readiness.views.picture.strips import utc
from vessel.units import DAY, HOUR

FIRST = day_of(utc(2027, 5, 15, 12), "Europe/Lisbon")
HIGH = utc(2027, 5, 15, 13, 54)
ALL_KNOWN = [True] * 7


def test_a_week_is_seven_days_one_after_the_other() -> None:
    days = days_from(FIRST)

    assert [day.on.day for day in days] == [15, 16, 17, 18, 19, 20, 21]
    assert all(later.start == day.end for day, later in pairwise(days))


def test_the_week_of_the_clock_change_has_one_odd_day_that_says_so() -> None:
    days = days_from(day_of(utc(2027, 3, 26, 12), "Europe/Lisbon"))

    notes = [row.note for row in week_rows(days, days[0], [], ALL_KNOWN, (), None)]

    assert [bool(note) for note in notes] == [False, False, True, False, False, False, False]
    assert notes[2] == "The clocks change: 23 h, UTC before, UTC+1 after."


def test_each_water_stands_on_its_own_day() -> None:
    marks = [HighLow(HIGH, 3.6, is_high=True), HighLow(HIGH + 12.4 * HOUR, 3.7, is_high=True)]

    rows = week_rows(days_from(FIRST), FIRST, marks, ALL_KNOWN, (), None)

    assert (rows[0].high, rows[1].high, rows[2].high) == (("14:54 3.6 m",), ("03:18 3.7 m",), ())
    assert rows[0].low == ()
    assert [row.is_chosen for row in rows] == [True] + [False] * 6


def test_no_water_named_means_none_only_where_the_whole_day_is_known() -> None:
    marks = [HighLow(HIGH, 3.6, is_high=True)]

    rows = week_rows(days_from(FIRST), FIRST, marks, [False] * 2 + [True] * 5, (), None)

    assert [row.high for row in rows[:3]] == [("14:54 3.6 m", "not known"), ("not known",), ()]
    assert [row.low for row in rows[:3]] == [("not known",), ("not known",), ()]


@pytest.mark.parametrize(
    ("last_entries", "words"),
    [
        ([HIGH + HOUR], "from 14:54 to 16:54; last entry 15:54"),
        ([HIGH + 2 * HOUR], "from 14:54 to 16:54"),
    ],
)
def test_a_last_entry_before_the_shutting_is_told(last_entries: list[float], words: str) -> None:
    gate = GateLine("Lock", [(HIGH, HIGH + 2 * HOUR)], last_entries)

    assert week_gate_words(FIRST, gate) == words


def test_the_sun_is_told_each_day_and_in_the_far_north_that_it_stays_up_or_down() -> None:
    days = days_from(FIRST, 1)

    assert (
        week_rows(days, FIRST, [], [True], (), [(FIRST.start + 6 * HOUR, FIRST.start + 21 * HOUR)])[0].sun
        == "06:00 to 21:00"
    )
    assert week_rows(days, FIRST, [], [True], (), [(FIRST.start - DAY, FIRST.end + DAY)])[0].sun == "up all day"
    assert week_rows(days, FIRST, [], [True], (), [])[0].sun == "down all day"
    assert (
        week_rows(days, FIRST, [], [True], (), [(FIRST.start - HOUR, FIRST.start + HOUR)])[0].sun
        == "up before to 01:00"
    )
    assert week_rows(days, FIRST, [], [True], (), None)[0].sun == ""


def test_the_clock_is_named_and_both_where_it_changes_between() -> None:
    summer, winter = utc(2027, 7, 1), utc(2027, 12, 1)

    assert zone_words(summer, summer + DAY, "Europe/Lisbon") == "Europe/Lisbon, WEST (UTC+1)"
    assert zone_words(summer, winter, "Europe/Lisbon") == "Europe/Lisbon, WEST (UTC+1), later WET (UTC)"
    assert zone_words(summer, summer, "Asia/Kathmandu") == "Asia/Kathmandu, UTC+5:45"
    assert math.isclose(FIRST.hours, 24.0)
    assert FIRST.on == date(2027, 5, 15)
