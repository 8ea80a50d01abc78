"""Holes in rows of times."""

import numpy as np
import pytest

from readiness.calc.hole import WIDEST_GAP_S, holes, with_holes
from vessel.units import HOUR

CASES: dict[str, tuple[list[float], list[int]]] = {
    "hourly": ([1, 1, 1], [0, 0, 0]),
    "one hour missing": ([1, 1, 2, 1, 1], [0, 0, 1, 0, 0]),
    "the second one missing": ([2, 1, 1], [1, 0, 0]),
    "the last but one missing": ([1, 1, 2], [0, 0, 1]),
    "hourly, then three-hourly": ([1, 1, 1, 3, 3, 3], [0, 0, 0, 0, 0, 0]),
    "exactly six hours": ([6, 6], [0, 0]),
    "over six hours": ([6.01, 6.01], [1, 1]),
    "two lone times": ([5], [0]),
    "two times a day apart": ([24], [1]),
    "one time": ([], []),
}


@pytest.mark.parametrize("case", CASES)
def test_a_hole_is_a_gap_too_wide_or_twice_the_usual_one(case: str) -> None:
    gaps, expected = CASES[case]

    found = holes(np.cumsum([0, *gaps]) * HOUR)

    assert found.astype(int).tolist() == expected


def test_each_hole_gets_a_time_in_its_middle_and_nothing_else_moves() -> None:
    at = np.array([0, 1, 2, 4, 5, 6]) * HOUR

    np.testing.assert_array_equal(with_holes(at), np.array([0, 1, 2, 3, 4, 5, 6]) * HOUR)
    np.testing.assert_array_equal(with_holes(at[:1]), at[:1])
    assert np.diff(np.asarray(with_holes(np.array([0.0, 30 * HOUR])))).max() > WIDEST_GAP_S
