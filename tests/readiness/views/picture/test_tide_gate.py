import math
from dataclasses import replace
from typing import Any

import pytest
from django.template.loader import render_to_string

from readiness.views.picture.day import HighLow
from readiness.views.picture.tide_gate import TideGate, draw_tide_gate, sentence
from tests.readiness.views.picture.strips import utc

DAY = (2027, 5, 15)
START = utc(*DAY, 5)


def gate(**changes: Any) -> TideGate:
    at = [START + 600 * index for index in range(73)]
    whole = TideGate(
        zone="Europe/Lisbon",
        open_words="lock open",
        at=at,
        height_m=[2.6 + 1.0 * math.cos((moment - utc(*DAY, 13, 54)) / 7116) for moment in at],
        high_low=[HighLow(utc(*DAY, 13, 54), 3.6, is_high=True)],
        opens=[(utc(*DAY, 10, 54), utc(*DAY, 15, 54))],
        early=utc(*DAY, 12, 54, 3),
        plan=utc(*DAY, 13, 22, 28),
        late=utc(*DAY, 14, 37, 12),
        last_entry=utc(*DAY, 15, 39),
    )
    return replace(whole, **changes)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, "There by 14:22, late 15:37; last entry 16:39: 61 min to spare."),
        ({"late": utc(*DAY, 15, 39)}, "There by 14:22, late 16:39; last entry 16:39: 0 min to spare."),
        ({"late": utc(*DAY, 15, 50, 30)}, "There by 14:22, late 16:50; last entry 16:39: 11 min too late."),
        ({"last_entry": math.nan}, "There by 14:22, late 15:37; the last entry is not known."),
        ({"late": math.nan}, "When she gets there is not known."),
        ({"plan": math.nan}, "When she gets there is not known."),
    ],
)
def test_the_sentence_says_what_is_left_rounded_toward_none(changes: Any, said: str) -> None:
    assert sentence(gate(**changes)) == said


def test_the_picture_has_bracket_stay_and_dimension_line() -> None:
    picture = draw_tide_gate(gate())

    assert [label.text for label in picture.open_labels] == ["lock open 11:54–16:54"]
    assert (picture.opens[0].x, picture.opens[0].width) == ("49.17", "41.67")
    assert picture.left.text == "61 min"
    assert (picture.early.text, picture.plan.text, picture.late.text) == ("13:54", "14:22", "15:37")
    assert picture.stay is not None
    assert picture.left_bar is not None
    assert [spot.text for spot in picture.spots] == ["HW 14:54 3.6 m"]
    assert [(tick.local, tick.utc) for tick in picture.ticks] == [
        ("06", "05"), ("09", "08"), ("12", "11"), ("15", "14"), ("18", "17"),
    ]  # fmt: skip
    assert [level.text for level in picture.levels] == ["1", "2", "3", "4 m"]


@pytest.mark.parametrize("missing", ["early", "plan", "late", "last_entry"])
def test_a_moment_not_known_is_left_out_of_the_drawing(missing: str) -> None:
    picture = draw_tide_gate(gate(**{missing: math.nan}))

    html = render_to_string("readiness/picture/tide_gate.svg.html", {"picture": picture})

    assert "nan" not in html
    if missing in ("late", "last_entry"):
        assert picture.left.text == ""
        assert picture.left_bar is None


def test_arriving_too_late_draws_no_room_left() -> None:
    picture = draw_tide_gate(gate(late=utc(*DAY, 15, 50)))

    assert picture.left.text == ""
    assert picture.left_bar is None


def test_a_gate_open_beyond_the_paper_is_drawn_to_its_edge() -> None:
    picture = draw_tide_gate(gate(opens=[(utc(*DAY, 2), utc(*DAY, 8)), (utc(*DAY, 20), utc(*DAY, 22))]))

    assert [(band.x, band.width) for band in picture.opens] == [("0", "25")]


def test_a_tide_not_known_leaves_no_curve() -> None:
    picture = draw_tide_gate(gate(height_m=[math.nan] * 73, high_low=[]))

    assert picture.curve == ""
