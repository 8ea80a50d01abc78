import pytest
from django.template.loader import render_to_string

from readiness.views.picture.stream_table import Row, draw_stream, from_high_water
from vessel.units import HOUR, KNOT

ROWS = [
    Row(-6 * HOUR, 90.0, 1.5 * KNOT, 4 * KNOT),
    Row(-1 * HOUR, 270.0, 1 * KNOT, 2 * KNOT),
    Row(2 * HOUR, 90.0, 0.5 * KNOT, 1 * KNOT),
]


def test_a_row_is_as_wide_as_it_lasts_and_as_high_as_its_springs_rate() -> None:
    picture = draw_stream(ROWS, steady=False, reference="Ostrel Haven")

    assert picture is not None
    assert [(bar.x, bar.width) for bar in picture.bars] == [("0", "45.45"), ("45.45", "27.27"), ("72.73", "27.27")]
    assert [bar.springs_high for bar in picture.bars] == ["64", "32", "16"]
    assert [bar.toward for bar in picture.bars] == ["E", "W", "E"]
    assert picture.high_water_x == "54.55"
    assert picture.sentence == "At most 4.0 kn toward E at springs, by the high water of Ostrel Haven."


def test_the_table_beside_it_tells_every_row() -> None:
    picture = draw_stream(ROWS, steady=False, reference="Ostrel Haven")
    text = render_to_string("readiness/picture/stream_table.svg.html", {"picture": picture})

    assert picture is not None
    assert [line.when for line in picture.lines] == ["from HW −6 h", "from HW −1 h", "from HW +2 h"]
    assert all(words in text for words in ("W (270°)", "1.5 kn", "4.0 kn", "HW −6 h", "HW +5 h"))


def test_a_steady_stream_is_told_without_high_water() -> None:
    picture = draw_stream([Row(0.0, 90.0, 0.5 * KNOT, 0.5 * KNOT)], steady=True, reference="")

    assert picture is not None
    assert (picture.sentence, picture.high_water_x, picture.ends) == ("Always 0.5 kn toward E.", "", ("", ""))
    assert picture.lines[0].when == "at all times"


def test_a_table_without_rows_has_no_picture() -> None:
    assert draw_stream([], steady=False, reference="Ostrel Haven") is None


@pytest.mark.parametrize(("seconds", "words"), [(0.0, "HW"), (-6.5 * HOUR, "HW −6.5 h"), (HOUR, "HW +1 h")])
def test_times_are_counted_from_high_water(seconds: float, words: str) -> None:
    assert from_high_water(seconds) == words
