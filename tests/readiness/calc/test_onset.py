"""The first moment a value reaches its limit: exact on straight lines, and against a search by brute force."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.onset import first_blank, first_from, onset

AT = np.array([0.0, 10.0, 20.0, 30.0])
NAN = np.nan


def first(values: list[float], since: float, limit: float = 5.0) -> float:
    """The first moment of one column."""
    return float(np.asarray(first_from(onset(AT, np.array(values)[:, None], limit), np.array([since])))[0, 0])


def blank(values: list[float], since: float) -> float:
    """The first moment one column is not known."""
    return float(np.asarray(first_blank(onset(AT, np.array(values)[:, None], 5.0), np.array([since])))[0, 0])


@pytest.mark.parametrize(
    ("values", "since", "found"),
    [
        ([0, 10, 10, 10], 0.0, 5.0), ([0, 5, 0, 0], 0.0, 10.0), ([0, 4.999, 0, 0], 0.0, np.inf),
        ([0, 10, 0, 10], 15.0, 15.0), ([0, 10, 0, 10], 15.001, 25.0), ([9, 9, 9, 9], 12.0, 12.0),
        ([9, 0, 0, 9], 5.0, 25.5555555556), ([0, 0, 0, 5], 0.0, 30.0), ([9, 9, 9, 9], 31.0, np.inf),
        ([9, 9, 9, 9], -5.0, 0.0), ([0, 0, 0, 0], 0.0, np.inf), ([5, 5, 5, 5], 3.0, 3.0),
        ([NAN, 9, 0, 0], 0.0, 10.0), ([0, NAN, 9, 9], 0.0, 20.0), ([0, 9, NAN, 0], 12.0, np.inf),
    ],
)  # fmt: skip
def test_the_first_moment_at_the_limit(values: list[float], since: float, found: float) -> None:
    assert first(values, since) == pytest.approx(found)


@pytest.mark.parametrize(
    ("values", "since", "found"),
    [
        ([0, 0, 0, 0], 0.0, np.inf), ([0, NAN, 0, 0], 0.0, 0.0), ([0, NAN, 0, 0], 15.0, 15.0),
        ([0, NAN, 0, 0], 20.0, np.inf), ([0, 0, 0, NAN], 5.0, 20.0), ([0, 0, 0, 0], -1.0, -1.0),
        ([0, 0, 0, 0], 31.0, np.inf),
    ],
)  # fmt: skip
def test_the_first_moment_that_is_not_known(values: list[float], since: float, found: float) -> None:
    assert blank(values, since) == found


@given(st.lists(st.integers(0, 9), min_size=4, max_size=4), st.integers(-2, 32))
def test_it_is_the_first_of_many_looks(values: list[int], since: int) -> None:
    looks = np.arange(max(since, 0), 30.0001, 0.01)
    over = looks[np.interp(looks, AT, values) >= 5.0 - 1e-9]

    found = first([float(value) for value in values], float(since))

    assert found == pytest.approx(over[0] if over.size else np.inf, abs=0.011)


def test_columns_and_departures_are_kept_apart() -> None:
    values = np.array([[0, 9], [10, 9], [10, 0], [10, 0]], float)

    found = first_from(onset(AT, values, 5.0), np.array([0.0, 18.0]))

    np.testing.assert_allclose(found, [[5.0, 0.0], [18.0, np.inf]])
