"""Tidal stream tables as CSV: what they say, when each row holds, and what is refused by line and column."""

import numpy as np
import pytest

from readiness.feeds.look import look_into
from readiness.feeds.stream_table import StreamTableFile, read_stream_table
from readiness.feeds.take import take_stream_table
from vessel.errors import BadInput
from vessel.units import HOUR, KNOT

NOTES = {
    "name": "Skarn Narrows",
    "reference": "ostrel",
    "neaps_range_m": "2.1",
    "springs_range_m": "3.8 m",
    "latitude": "46 30.0 N",
    "longitude": "014°27.0' W",
}
RATES = (0.0, 0.6, 1.1, 1.5, 1.2, 0.7, 0.0, 0.7, 1.2, 1.5, 1.1, 0.6, 0.1)


def table(
    *, header: str = "hours_from_hw,set_deg,neaps_kn,springs_kn", rows: str | None = None, **notes: str | None
) -> bytes:
    """A file with some notes or rows of its own; a note that is None is left out."""
    hours = (f"{hour - 6:+d},{90 if hour < 6 else 270:03d},{RATES[hour]},{2 * RATES[hour]}" for hour in range(13))
    stated = "\n".join(f"# {name}: {value}" for name, value in (NOTES | notes).items() if value is not None)
    return f"{stated}\n{header}\n{rows or chr(10).join(hours)}\n".encode()


def test_it_says_what_it_is_where_it_is_and_what_it_hangs_on() -> None:
    file = read_stream_table(table(source="printed table 12"))

    assert (file.name, file.reference, file.source) == ("Skarn Narrows", "ostrel", "printed table 12")
    assert (file.lat_deg, file.lon_deg) == (46.5, -14.45)
    assert (file.neaps_range_m, file.springs_range_m) == (2.1, 3.8)
    assert not file.rates_held_beyond
    assert file.warnings == file.ignored == ()


def test_a_figure_holds_from_half_an_hour_before_its_hour_to_half_an_hour_after() -> None:
    rows = read_stream_table(table()).rows

    assert len(rows) == 13
    assert [row.from_high_water_s / HOUR for row in rows] == pytest.approx(np.arange(-6.5, 6.0))
    assert (rows[3].set_deg, rows[9].set_deg) == (90.0, 270.0)
    assert rows[3].rate_neaps_mps == pytest.approx(1.5 * KNOT)
    assert rows[3].rate_springs_mps == pytest.approx(3.0 * KNOT)


def test_rows_by_the_half_hour_hold_for_a_quarter_either_side() -> None:
    half_hours = "\n".join(f"{hour / 2},090,1,2" for hour in range(-12, 13))

    rows = read_stream_table(table(rows=half_hours)).rows

    assert rows[0].from_high_water_s == -6.25 * HOUR
    assert rows[-1].from_high_water_s == 5.75 * HOUR


@pytest.mark.parametrize(("beyond", "held"), [("held", True), ("carried on", False), (None, False)])
def test_it_may_say_that_rates_are_held_beyond_springs(beyond: str | None, held: bool) -> None:
    assert read_stream_table(table(beyond=beyond)).rates_held_beyond == held


def test_semicolons_a_decimal_comma_a_byte_order_mark_and_more_columns_are_read() -> None:
    rows = "\n".join(f"{hour};90;1,5;3,0;odd" for hour in range(-6, 7))
    data = b"\xef\xbb\xbf" + table(header="Hours from HW;Set deg;Neaps kn;Springs kn;remark", rows=rows)

    file = read_stream_table(data)

    assert file.rows[0].rate_neaps_mps == pytest.approx(1.5 * KNOT)
    assert file.ignored == ("remark",)


def test_a_stream_that_runs_harder_at_neaps_is_told() -> None:
    rows = "\n".join(f"{hour},90,{2 if hour == 1 else 1},1.5" for hour in range(-6, 7))

    assert read_stream_table(table(rows=rows)).warnings == ("The stream runs harder at neaps than at springs at 1 h.",)


def altered(hour: int, line: str) -> str:
    return "\n".join(line if one == hour else f"{one},90,1,2" for one in range(-6, 7))


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (table(name=None), "A line '# name: ...' above the header is needed. Nothing was taken in."),
        (table(reference=""), "Line 2: A line '# reference: ...' above the header is needed."),
        (table(neaps_range_m=None), "A line '# neaps_range_m: ...' above the header is needed."),
        (table(neaps_range_m="two"), "Line 3: neaps_range_m 'two' is not a number of metres."),
        (table(neaps_range_m="nan"), "Line 3: neaps_range_m 'nan' is not a number of metres."),
        (table(neaps_range_m="0"), "Line 3: neaps_range_m '0' is no range of a tide."),
        (table(springs_range_m="21"), "Line 4: springs_range_m '21' is no range of a tide."),
        (table(springs_range_m="2.1"), "The range at neaps, 2.1 m, must be less than at springs, 2.1 m."),
        (table(latitude="91 N"), "Line 5: The latitude cannot be read:"),
        (table(longitude="14 W 3"), "Line 6: The longitude cannot be read:"),
        (table(latitude=None), "A line '# latitude: ...' above the header is needed."),
        (table(beyond="somehow"), "Line 7: beyond is 'carried on' or 'held', not 'somehow'."),
        (table(name="x" * 121), "Line 1: The name 'xxxx"),
        (table(source="a\n# name: b"), "Line 8: name is stated a second time."),
        (table(header="hours,set_deg,neaps_kn,springs_kn"), "Line 7: The columns hours_from_hw, set_deg, neaps_kn, springs_kn"),
        (table(rows=altered(0, "0,361,1,2")), "Line 14, column set_deg: 361 degrees is not between 0 and 360."),
        (table(rows=altered(0, "0,-1,1,2")), "Line 14, column set_deg: -1 degrees is not between 0 and 360."),
        (table(rows=altered(0, "0,90,-1,2")), "Line 14, column neaps_kn: -1 kn is not between 0 and 20."),
        (table(rows=altered(0, "0,90,1,21")), "Line 14, column springs_kn: 21 kn is not between 0 and 20."),
        (table(rows=altered(6, "15,90,1,2")), "Line 20, column hours_from_hw: 15 h from high water is not between -14 and 14."),
        (table(rows=altered(0, "0,,1,2")), "Line 14, column set_deg: There is no number."),
        (table(rows=altered(0, "0,90,fast,2")), "Line 14, column neaps_kn: 'fast' is not a number."),
        (table(rows=altered(0, "0,90,1")), "Line 14: There are 3 cells where the header has 4."),
        (table(rows=altered(0, "-3,90,1,2")), "Line 14, column hours_from_hw: The hours do not rise."),
        (table(rows=altered(0, "")), "Line 15, column hours_from_hw: The rows jump by 2 h here and by 1 h elsewhere."),
        (table(rows="0,90,1,2"), "Line 8: One row is no table; a steady stream is entered by hand."),
        (table(rows="\n".join(f"{h},90,1,2" for h in range(-4, 5))), "Line 16: The rows cover 9 h; a tide lasts 12 h 25 min."),
        (b"# name: nothing\n", "The file is empty."),
    ],
)  # fmt: skip
def test_what_is_wrong_is_refused_in_one_sentence_that_says_where(data: bytes, told: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_stream_table(data)

    assert str(refused.value).startswith(told)
    assert str(refused.value).endswith("Nothing was taken in.")


def test_twelve_rows_by_the_hour_are_enough() -> None:
    rows = "\n".join(f"{hour},90,1,2" for hour in range(-6, 6))

    assert len(read_stream_table(table(rows=rows)).rows) == 12


def test_it_is_read_the_same_in_a_limited_process() -> None:
    file = take_stream_table(table())

    assert isinstance(file, StreamTableFile)
    assert file == read_stream_table(table())
    with pytest.raises(BadInput, match=r"Line 14, column set_deg"):
        take_stream_table(table(rows=altered(0, "0,361,1,2")))


def test_looking_into_it_says_its_kind_its_reference_and_its_units() -> None:
    look = look_into(table(), "skarn.csv")

    assert (look.kind, look.counts) == ("tidal stream table", {"rows": 13})
    assert look.units["hours"] == "from high water at ostrel"
    assert look.units["rates"] == "knots, at ranges of 2.1 m and 3.8 m"
    assert look.extent is not None
    assert (look.extent.south, look.extent.west) == (46.5, -14.45)
    assert look.parts[0].name == "Skarn Narrows"
