from typing import Any

import numpy as np
import pytest

from readiness.rules.tide_differences import port_of, words_of

WATER = {"clock_s": [0, 21600], "late_s": [2100, 1380], "reference_m": [4.2, 3.4], "more_m": [1.1, 0.8]}
COLUMNS = {"form": "columns", "clock_ahead_s": 3600, "high": WATER, "low": WATER}


def test_plain_differences_need_no_form_and_are_seconds_and_metres() -> None:
    port = port_of({"high_s": 300, "low_s": 600.0, "high_m": -0.1, "low_m": 0.05})

    assert (port.high.late_s[0], port.high.more_m[0], port.high.ratio) == (300.0, -0.1, 1.0)
    assert (port.low.late_s[0], port.low.more_m[0], port.low.ratio) == (600.0, 0.05, 1.0)


def test_ratios_add_nothing_to_the_height() -> None:
    port = port_of({"form": "ratios", "high_s": 60, "low_s": 0, "high_ratio": 0.55, "low_ratio": 0.53})

    assert (port.high.ratio, port.low.ratio) == (0.55, 0.53)
    assert (port.high.more_m[0], port.low.more_m[0]) == (0.0, 0.0)


def test_columns_keep_their_clock_and_their_levels() -> None:
    port = port_of(COLUMNS)

    assert port.clock_ahead_s == 3600.0
    assert port.high.late_s.tolist() == [2100.0, 1380.0]
    assert port.low.reference_m.tolist() == [4.2, 3.4]


@pytest.mark.parametrize("given", [{}, {"high_s": None, "low_s": None, "high_m": None, "low_m": None}], ids=str)
def test_what_nobody_stated_is_not_known(given: dict[str, Any]) -> None:
    port = port_of(given)

    assert np.isnan([port.high.late_s[0], port.low.late_s[0], port.high.more_m[0], port.low.more_m[0]]).all()


def test_a_ratio_nobody_stated_is_not_known() -> None:
    port = port_of({"form": "ratios", "high_s": 60, "low_s": 0, "high_ratio": 0.55})

    assert np.isnan(port.low.ratio)


@pytest.mark.parametrize(
    ("document", "sentence"),
    [
        ({"hi_s": 0}, "unknown field `hi_s`"),
        ({"form": "guess"}, "no shape that is known"),
        ({"form": ["single"]}, "no shape that is known"),
        ({"high_s": "ten"}, "no shape that is known"),
        ({"form": "ratios", "high_m": 1.0}, "unknown field `high_m`"),
        ({"form": "ratios", "high_ratio": 0}, "A ratio of 0 for high water"),
        ({"form": "ratios", "low_ratio": -1}, "A ratio of -1 for low water"),
        ({"form": "ratios", "low_ratio": 10.1}, r"between 0 and 10"),
        ({"high_s": 14 * 3600 + 1}, "more than 14 hours for high water"),
        ({"low_m": -20.1}, "more than 20 m for low water"),
        ({**COLUMNS, "clock_ahead_s": None}, "clock of the columns is not stated"),
        ({**COLUMNS, "clock_ahead_s": 15 * 3600}, "clock of the columns is not stated"),
        ({**COLUMNS, "high": {**WATER, "late_s": [1]}}, "For high water there is one difference in time for each"),
        ({**COLUMNS, "low": {**WATER, "more_m": [1]}}, "For low water there is one"),
        ({**COLUMNS, "low": {**WATER, "clock_s": [], "late_s": []}}, "For low water there is one"),
        ({**COLUMNS, "high": {**WATER, "reference_m": [1, 2, 3], "more_m": [1, 2, 3]}}, "one or two"),
        ({**COLUMNS, "high": {**WATER, "clock_s": [0, 0]}}, "different times"),
        ({**COLUMNS, "high": {**WATER, "clock_s": [0, 86400]}}, "between 00:00 and 23:59"),
        ({**COLUMNS, "high": {**WATER, "clock_s": [0, None]}}, "different times"),
        ({**COLUMNS, "high": {**WATER, "reference_m": [4.2, 4.2]}}, "two different numbers"),
        ({**COLUMNS, "high": {**WATER, "reference_m": [4.2, None]}}, "two different numbers"),
        ({**COLUMNS, "high": {**WATER, "clock_s": [[0], [1]], "late_s": [[0], [1]]}}, "plain rows"),
        ({"form": "columns", "high": WATER, "low": WATER}, "clock_ahead_s"),
    ],
    ids=str,
)
def test_differences_that_cannot_be_meant_are_refused_in_words(document: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        port_of(document)


@pytest.mark.parametrize(
    "document",
    [
        {"high_s": 14 * 3600, "low_s": -14 * 3600, "high_m": 20, "low_m": -20},
        {"form": "ratios", "high_s": 0, "low_s": 0, "high_ratio": 10, "low_ratio": 0.01},
        {**COLUMNS, "clock_ahead_s": -14 * 3600},
        {**COLUMNS, "high": {**WATER, "late_s": [60, None]}},
    ],
    ids=str,
)
def test_differences_exactly_on_the_limits_are_taken(document: dict[str, Any]) -> None:
    port_of(document)


def test_each_form_has_its_words() -> None:
    words = {words_of(document) for document in ({}, {"form": "single"}, {"form": "ratios"}, COLUMNS)}

    assert len(words) == 3
    assert "beyond springs and neaps" in words_of(COLUMNS)


def test_a_name_out_of_a_damaged_file_is_said_so_that_it_can_be_read_aloud() -> None:
    with pytest.raises(ValueError, match=r"unknown field `hi\?\?gh`\.$"):
        port_of({"form": "single", "hi\x00\ngh": 1})
