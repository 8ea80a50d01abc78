from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.views.picture.departures import draw_departures
from readiness.views.picture.runs import WORDS, State, state_of
from tests.readiness.views.picture.strips import QUARTER, Judged, hour_of, strip, utc

MIDNIGHT = utc(2027, 5, 15)
GO, GO_IF, CANNOT_SAY, NO_GO = range(4)
ALL_SEVEN = [(0, -1), (1, -1), (2, 0), (2, 1), (2, 2), (2, -1), (3, -1)]


def seven_states(moment: float) -> Judged:
    """Two hours of each state from midnight on, then No-go."""
    return ALL_SEVEN[min(int(hour_of(moment) // 2), 6)]


def test_the_table_says_what_the_picture_shows() -> None:
    picture = draw_departures(strip(seven_states, start=MIDNIGHT + 3600, count=960))
    drawn = [band.kind for group in picture.groups for row in group.rows for band in row.ribbons]

    told = [line.state.value for line in picture.twin if line.state not in (State.NO_GO, State.POOR)]

    assert told == drawn
    assert {line.word for line in picture.twin} == set(WORDS.values())
    assert [(line.first, line.last) for line in picture.twin[:3]] == [
        ("01:00", "01:45"),
        ("02:00", "03:45"),
        ("04:00", "05:45"),
    ]


def test_a_shut_day_says_why_on_its_line_and_in_words() -> None:
    drawn = draw_departures(
        strip(lambda _: (3, -1), start=MIDNIGHT, count=96, why=lambda _: "one aboard, lock wants three")
    )

    row = drawn.groups[0].rows[0]
    assert (row.labels[0].mark, row.labels[0].text) == ("no-go", "one aboard, lock wants three")
    assert [(told.word, told.when, told.why) for told in row.words] == [
        ("No-go", "all day", "one aboard, lock wants three")
    ]


@pytest.mark.parametrize(
    ("judged", "answer"),
    [
        (lambda m: (1, -1) if m < MIDNIGHT + 4 * 3600 else (3, -1),
         ("Saturday 00:00 to 03:45, if.", "Then nothing in these days: a reason.")),
        (lambda m: (3, -1) if m < MIDNIGHT + 86400 else (2, 0),
         ("Sunday 00:00 to 23:45, outlook good.", "Monday 00:00 to 23:45, outlook good.")),
        (lambda m: (0, -1) if m < MIDNIGHT + 86400 else (2, -1),
         ("Saturday 00:00 to 23:45.", "Later: cannot say yet.")),
        (lambda m: (0, -1) if m < MIDNIGHT + 86400 else (3, -1) if m < MIDNIGHT + 2 * 86400 else (2, -1),
         ("Saturday 00:00 to 23:45.", "Then nothing before Mon 17 May: a reason.")),
        (lambda _: (3, -1), ("No departure in these days is a go.", "What decides: a reason.")),
        (lambda _: (2, -1), ("Cannot say yet for any departure.",
                             "The first to ask about: Sat 15 May 00:00 to 23:45, a reason.")),
    ],
)  # fmt: skip
def test_the_answer_in_one_sentence(judged: Callable[[float], Judged], answer: Any) -> None:
    assert draw_departures(strip(judged, start=MIDNIGHT, count=3 * 96)).answer == answer


@given(st.lists(st.sampled_from(ALL_SEVEN), min_size=96, max_size=960), st.integers(0, 95))
def test_the_answer_never_takes_more_than_thirty_words_and_never_promises_more_than_the_best(
    answers: list[Judged], offset: int
) -> None:
    start = MIDNIGHT + QUARTER * offset
    drawn = draw_departures(
        replace(strip(lambda m: answers[round((m - start) / QUARTER)], start=start, count=len(answers)))
    )

    text = " ".join(drawn.answer)
    assert len(text.split()) <= 30
    if not any(state_of(*answer) in (State.GO, State.GO_IF, State.GOOD, State.FAIR) for answer in answers):
        assert text.startswith(("No departure", "Cannot say"))
