"""Chances of passing a limit."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from readiness.calc.chance import ERROR_OF, ERROR_TABLE, chance_past, forecast_error, members_past
from vessel.units import HOUR

NAN = np.nan


def test_a_member_on_the_limit_and_one_that_is_not_known_pass_it() -> None:
    worst = np.array([9.999, 10.0, 11.0, NAN])

    assert members_past(worst, 10.0) == 3


def test_every_departure_has_its_own_members() -> None:
    worst = np.array([[1.0, 5.0, NAN], [5.0, 5.0, NAN], [1.0, 1.0, NAN]])

    assert members_past(worst, 4.0).tolist() == [1, 2, 3]


@given(st.floats(-20, 20), st.floats(0, 20), st.floats(0.1, 6))
def test_the_chance_of_a_normal_error_is_the_tail_of_the_distribution(value: float, limit: float, sd: float) -> None:
    assert chance_past(value, limit, sd) == pytest.approx(norm.sf(limit, value, sd), abs=1e-12)


def test_a_forecast_on_the_limit_is_as_likely_under_as_over() -> None:
    assert chance_past(12.0, 12.0, 2.0) == 0.5


@pytest.mark.parametrize(("value", "error"), [(NAN, 1.0), (1.0, NAN), (1.0, 0.0)])
def test_no_chance_is_told_of_what_is_not_known(value: float, error: float) -> None:
    assert np.isnan(chance_past(value, 2.0, error))


@pytest.mark.parametrize("what", ERROR_OF)
def test_the_error_is_that_of_the_table_and_straight_between_and_never_shrinks(what: str) -> None:
    hours = np.arange(0.0, 300.0)

    errors = np.asarray(forecast_error(what, hours * HOUR))

    for lead, printed in ERROR_TABLE[:, (0, ERROR_OF[what])]:
        assert errors[int(lead)] == printed
    assert errors[36] == pytest.approx((errors[24] + errors[48]) / 2)
    assert (np.diff(errors) >= 0).all()
    assert errors[-1] == ERROR_TABLE[-1, ERROR_OF[what]]


@pytest.mark.parametrize("lead_s", [NAN, -1.0])
def test_a_lead_that_is_not_known_or_before_the_issue_has_no_error(lead_s: float) -> None:
    assert np.isnan(forecast_error("wind", lead_s))
