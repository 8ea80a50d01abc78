import json
from pathlib import Path

import numpy as np
import pytest

from readiness.feeds.tide_differences import port_called_for, read_differences
from vessel.errors import BadInput
from vessel.units import FOOT

COLUMNS = """water,clock_utcplus1,time_min,reference_m,height_m
H,00:00,+35,,
H,0600,+23,,
H,,,4.2,+1.1
H,,,3.4,+0.8
L,,10,,0.2
"""


def test_a_sheet_of_columns_becomes_the_document_that_is_kept() -> None:
    document = read_differences(COLUMNS.encode())

    assert document == {
        "form": "columns",
        "clock_ahead_s": 3600.0,
        "high": {
            "clock_s": [0.0, 21600.0],
            "late_s": [2100.0, 1380.0],
            "reference_m": [4.2, 3.4],
            "more_m": [1.1, 0.8],
        },
        "low": {"clock_s": [0.0], "late_s": [600.0], "reference_m": [0.0], "more_m": [0.2]},
    }


def test_a_row_for_each_water_is_one_difference_each_and_the_unit_is_that_of_the_header() -> None:
    document = read_differences(b"water,time_min,height_ft\nhigh water,5,-1\nlow water,10,\n")

    assert document == {"form": "single", "high_s": 300.0, "high_m": -FOOT, "low_s": 600.0, "low_m": None}


def test_a_ratio_makes_it_a_port_by_ratios() -> None:
    document = read_differences(b"water,time_min,height_ratio\nH,71,0.55\nL,113,0.53\n")

    assert document == {"form": "ratios", "high_s": 4260.0, "high_ratio": 0.55, "low_s": 6780.0, "low_ratio": 0.53}


def test_a_figure_left_blank_is_not_known() -> None:
    port = port_called_for(read_differences(b"water,time_min,height_m\nH,5,0.1\n"))

    assert np.isnan([port.low.late_s[0], port.low.more_m[0]]).all()


def test_json_is_taken_as_it_is_kept(tmp_path: Path) -> None:
    document = read_differences(COLUMNS.encode())
    (tmp_path / "port.json").write_text(json.dumps(document), "utf-8")

    assert read_differences(tmp_path / "port.json") == document


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The file is empty"),
        ("{nonsense", "not JSON that can be read"),
        ("[1]", "The columns water, time_min and height_m"),
        ('{"high_s": "x"}', "no shape that is known"),
        ("water,time_min\nH,5\n", "The columns water, time_min and height_m"),
        ("water,time_min,height_m\nX,5,1\n", "Line 2, column water: 'X' is neither H nor L"),
        ("water,time_min,height_m\nH,five,1\n", "Line 2, column time_min: 'five' is not a number"),
        ("water,time_min,height_m\nH,5,1\nH,6,1\n", "Line 3: There are two rows of high water"),
        ("water,time_min,height_m,height_ratio\nH,5,1,0.5\n", "by a ratio or by metres"),
        ("water,clock,time_min,height_m\nH,00:00,5,1\nL,00:00,5,1\n", "Which zone is the clock on"),
        ("water,clock_utc,time_min,height_m\nH,6 am,5,1\n", "'6 am' is not a clock time"),
        ("water,clock_utc,time_min,height_m\nH,06:60,5,1\n", "'06:60' is not a clock time"),
        ("water,clock_utc,time_min,height_m\nH,25:00,5,1\nL,,5,1\n", "between 00:00 and 23:59"),
        ("water,clock_utc,time_min,height_ratio\nH,00:00,5,0.5\n", "does not go with differences by columns"),
        ("water,clock_utc,time_min,height_m\nH,00:00,5,1\nH,,6,\nL,,5,1\n", "different times"),
        ("water,clock_utc,time_min,height_m\nH,00:00,5,1\n", "For low water there is one difference in time"),
        ("water,time_min,height_m\nH,900,1\n", "more than 14 hours for high water"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_one_sentence(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        read_differences(text.encode())

    assert sentence in str(refusal.value)
    assert str(refusal.value).endswith("Nothing was taken in.")
