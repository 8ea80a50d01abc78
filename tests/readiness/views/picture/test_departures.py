import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from django.template.loader import render_to_string
from hypothesis import given
from hypothesis import strategies as st

from readiness.views.picture.axis import day_of, ticks
from readiness.views.picture.departures import draw_departures, shorten
from readiness.views.picture.runs import WORDS, State, best_of, runs_of, state_of
from tests.readiness.views.picture.strips import QUARTER, Judged, hour_of, strip, utc

MIDNIGHT = utc(2027, 5, 15)
GO, GO_IF, CANNOT_SAY, NO_GO = range(4)
ALL_SEVEN = [(0, -1), (1, -1), (2, 0), (2, 1), (2, 2), (2, -1), (3, -1)]


def seven_states(moment: float) -> Judged:
    """Two hours of each state from midnight on, then No-go."""
    return ALL_SEVEN[min(int(hour_of(moment) // 2), 6)]


@pytest.mark.parametrize(
    ("verdict", "outlook", "state"),
    [
        (0, -1, State.GO), (1, -1, State.GO_IF), (3, -1, State.NO_GO), (2, -1, State.CANNOT_SAY),
        (2, 0, State.GOOD), (2, 1, State.FAIR), (2, 2, State.POOR),
        (3, 0, State.NO_GO), (0, 2, State.GO), (2, 7, State.CANNOT_SAY), (9, -1, State.CANNOT_SAY), (-1, 0, State.CANNOT_SAY),
    ],
)  # fmt: skip
def test_an_outlook_counts_only_where_nothing_can_be_said_yet(verdict: int, outlook: int, state: State) -> None:
    assert state_of(verdict, outlook) is state


@given(st.lists(st.sampled_from(ALL_SEVEN), min_size=1, max_size=200))
def test_runs_hold_every_departure_once_and_neighbours_differ(answers: list[Judged]) -> None:
    at = [MIDNIGHT + QUARTER * index for index in range(len(answers))]
    states = [state_of(*answer) for answer in answers]
    day = day_of(MIDNIGHT, "UTC")

    runs = runs_of(day, at, states)

    inside = [state for moment, state in zip(at, states, strict=True) if day.holds(moment)]
    assert [run.state for run in runs for _ in range(run.start_index, run.stop_index)] == inside
    assert all(one.state != two.state and one.end == two.first for one, two in pairwise(runs))


def test_a_ribbon_reaches_to_the_end_of_its_last_quarter_and_its_label_to_the_last_departure() -> None:
    picture = draw_departures(strip(lambda m: (1, -1) if 6 <= hour_of(m) < 10 else (3, -1), start=MIDNIGHT, count=96))

    row = picture.groups[0].rows[0]
    assert [(band.kind, band.x, band.width) for band in row.ribbons] == [("go-if", "25", "16.67")]
    assert [label.text for label in row.labels] == ["06:00–09:45"]


def test_all_forms_stand_on_the_paper() -> None:
    picture = draw_departures(strip(seven_states, start=MIDNIGHT, count=96))

    row = picture.groups[0].rows[0]
    assert [band.kind for band in row.ribbons] == ["go", "go-if", "good", "fair", "cannot-say"]
    assert row.poor_x == ("37.5",)
    assert row.base.x == "0"
    assert row.base.width == "100"


@pytest.mark.parametrize("state", list(State))
def test_each_state_is_drawn_in_a_form_and_said_in_a_word(state: State) -> None:
    answer = ALL_SEVEN[list(State).index(state) if state not in (State.CANNOT_SAY, State.POOR) else 0]
    answer = {State.CANNOT_SAY: (2, -1), State.POOR: (2, 2)}.get(state, answer)
    picture = draw_departures(strip(lambda _: answer, start=MIDNIGHT, count=96))

    html = render_to_string("readiness/picture/departures.svg.html", {"picture": picture, "address": "/legs/1/"})

    assert f"<b>{WORDS[state]}</b>" in html
    form = f'class="ribbon {state.value}"' if state not in (State.NO_GO, State.POOR) else f'href="#mark-{state.value}"'
    assert form in html


def test_days_go_from_now_to_the_same_hour_ten_days_on() -> None:
    picture = draw_departures(strip(lambda _: (3, -1), start=utc(2027, 5, 14, 18, 45), zone="Europe/Lisbon"))

    rows = picture.groups[0].rows
    assert len(rows) == 11
    assert (rows[0].day.name, rows[0].day.date, rows[-1].day.date) == ("Fri", "14 May", "24 May")
    assert rows[0].base.x == "82.29"
    assert rows[-1].base.width == "82.29"
    assert [told.when for told in (rows[0].words[0], rows[1].words[0], rows[-1].words[0])] == [
        "from 19:45", "all day", "until 19:30",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("start", "hours", "local_labels", "utc_labels"),
    [
        (utc(2027, 3, 28), 23, ["00", "03", "06", "24"], ["00", "02", "05", "23"]),
        (utc(2027, 10, 30, 23), 25, ["00", "03", "06", "24"], ["23", "03", "06", "00"]),
    ],
)
def test_a_day_of_23_or_25_hours_has_its_own_axis(
    start: float, hours: int, local_labels: list[str], utc_labels: list[str]
) -> None:
    day = day_of(start + 12 * 3600, "Europe/London")

    scale = ticks(day)

    assert day.hours == hours
    assert day.is_odd
    picked = [tick for tick in scale if tick.local in local_labels]
    assert [tick.local for tick in picked] == local_labels
    assert [tick.utc for tick in picked] == utc_labels
    six = next(tick for tick in scale if tick.local == "06")
    assert float(six.x) == pytest.approx(100 * (6 + hours - 24) / hours, abs=0.01)


@pytest.mark.parametrize(("start", "count"), [(utc(2027, 3, 27), 92), (utc(2027, 10, 29, 23), 100)])
def test_a_week_with_a_clock_change_is_drawn_in_three_groups(start: float, count: int) -> None:
    picture = draw_departures(strip(lambda _: (0, -1), start=start, count=96 + count + 96, zone="Europe/London"))

    assert [len(group.rows) for group in picture.groups] == [1, 1, 1]
    assert [bool(group.note) for group in picture.groups] == [False, True, False]
    odd = picture.groups[1].rows[0]
    assert (odd.ribbons[0].x, odd.ribbons[0].width) == ("0", "100")
    twin = picture.twin[1]
    assert (twin.first, twin.last) == ("00:00", "23:45")
    assert {line.first_utc for line in picture.twin} >= {"00:00", "23:00"}


def test_a_zone_whose_clocks_change_at_midnight_is_drawn() -> None:
    zone = "America/Asuncion"
    picture = draw_departures(strip(lambda _: (0, -1), start=utc(2023, 10, 1, 2), count=4 * 72, zone=zone))

    assert sum(float(row.ribbons[0].width) > 0 for group in picture.groups for row in group.rows) >= 3
    assert ZoneInfo(zone)


def test_the_best_are_ringed_in_their_order_and_the_chosen_has_a_caret() -> None:
    first, second = 96 + 28, 28
    drawn = draw_departures(
        strip(
            lambda m: (1, -1) if 6 <= hour_of(m) < 8 else (3, -1),
            start=MIDNIGHT,
            count=192,
            best=(first, second),
            chosen=first,
        )
    )

    rows = drawn.groups[0].rows
    assert [row.labels[0].ring for row in rows] == ["2", "1"]
    assert [row.is_chosen for row in rows] == [False, True]
    assert (rows[0].chosen_x, rows[1].chosen_x) == ("", "29.17")
    assert [(best.ring, best.when, best.is_chosen) for best in drawn.best] == [
        ("1", "Sun 16 May 07:00 UTC", True), ("2", "Sat 15 May 07:00 UTC", False),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("judged", "best", "opens"),
    [
        (lambda m: (1, -1) if 6 <= hour_of(m) < 8 else (3, -1), (30,), "2027-05-15T07:30Z"),
        (lambda m: (1, -1) if 6 <= hour_of(m) < 8 else (3, -1), (), "2027-05-15T06:00Z"),
        (lambda _: (3, -1), (), "2027-05-15T09:00Z"),
    ],
)
def test_a_row_opens_its_best_departure_else_its_window_else_the_same_clock_time(
    judged: Callable[[float], Judged], best: tuple[int, ...], opens: str
) -> None:
    drawn = draw_departures(strip(judged, start=MIDNIGHT, count=192, best=best, chosen=96 + 36))

    assert drawn.groups[0].rows[0].at == opens


def test_a_reason_too_long_for_the_line_is_cut_at_a_word_and_whole_in_words() -> None:
    long = "the river bar breaks in a swell of two metres and over, from south through west"
    drawn = draw_departures(strip(lambda _: (3, -1), start=MIDNIGHT, count=96, why=lambda _: long))

    row = drawn.groups[0].rows[0]
    assert row.labels[0].text.endswith("…")
    assert long.startswith(row.labels[0].text.rstrip("…"))
    assert row.words[0].why == long
    assert shorten("short", 5) == "short"


def test_a_reason_on_a_day_that_begins_late_is_written_to_the_left() -> None:
    drawn = draw_departures(strip(lambda _: (3, -1), start=MIDNIGHT + 19 * 3600, count=20))

    assert (drawn.groups[0].rows[0].labels[0].anchor, drawn.groups[0].rows[0].labels[0].x) == ("end", "79.17")


def test_night_and_twilight_before_the_first_departure_come_from_the_next_day() -> None:
    drawn = draw_departures(strip(lambda _: (3, -1), start=MIDNIGHT + 20 * 3600, count=192))

    kinds = [band.kind for band in drawn.groups[0].rows[0].light]
    assert kinds == ["shade", "dusk", "dusk", "shade"]
    assert drawn.groups[0].rows[0].light[0].x == "0"


def test_an_unknown_sun_or_tide_leaves_paper_not_a_guess() -> None:
    plain = strip(lambda _: (3, -1), start=MIDNIGHT, count=96)
    tide = [math.nan if 30 <= index < 50 else height for index, height in enumerate(plain.tide_m)]
    drawn = draw_departures(replace(plain, sun_altitude_deg=[math.nan] * 96, tide_m=tide))

    row = drawn.groups[0].rows[0]
    assert row.light == ()
    assert row.tide.count("M") == 2
    assert "nan" not in row.tide


def test_where_water_and_gates_allow_is_merged() -> None:
    drawn = draw_departures(strip(lambda _: (3, -1), start=MIDNIGHT, count=192))

    assert [(band.x, band.width) for band in drawn.groups[0].rows[1].gates] == [("0", "25")]


def test_the_best_of_a_day_is_the_best_word_then_the_longest() -> None:
    day = day_of(MIDNIGHT, "UTC")
    at = [MIDNIGHT + QUARTER * index for index in range(6)]
    states = [State.GO_IF, State.NO_GO, State.GO_IF, State.GO_IF, State.CANNOT_SAY, State.CANNOT_SAY]

    assert best_of(runs_of(day, at, states)).first == at[2]


def test_only_some_days_are_drawn_when_asked() -> None:
    drawn = draw_departures(strip(lambda _: (3, -1), start=MIDNIGHT, count=960), days=3)

    assert sum(len(group.rows) for group in drawn.groups) == 3
    assert {line.day for line in drawn.twin} == {"Sat 15 May", "Sun 16 May", "Mon 17 May"}


def test_one_departure_alone_is_drawn() -> None:
    drawn = draw_departures(strip(lambda _: (0, -1), start=MIDNIGHT + 3600, count=1, best=(0,)))

    assert drawn.groups[0].rows[0].ribbons[0].width == "1.04"


def test_a_reason_from_a_record_is_escaped() -> None:
    drawn = draw_departures(strip(lambda _: (3, -1), start=MIDNIGHT, count=96, why=lambda _: "<b>&"))

    html = render_to_string("readiness/picture/departures.svg.html", {"picture": drawn, "address": "/legs/1/"})

    assert "&lt;b&gt;&amp;" in html
    assert "<b>&" not in html
