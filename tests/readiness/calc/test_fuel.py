"""Fuel by what it was: published burns, and a fit that one odd run does not move."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.fuel import LEAST_RUNS, admiralty_coefficient, burn_at_other_speed, burn_of_power, fitted
from readiness.rules.limits import Limits
from tests.published.read import half_a_unit, published
from vessel.calc.fuel import burnt
from vessel.units import KNOT, NAUTICAL_MILE

GRAMS_PER_KILOWATT_HOUR = 1e-3 / 3.6e6
PRINTED_GALLON_L = 3.785411784


@pytest.mark.parametrize("row", published("fuel_burn"), ids=lambda row: f"{row['power_w']} W")
def test_the_burn_of_a_power_is_the_printed_one(row: dict[str, str]) -> None:
    consumption = float(row["consumption_g_per_kwh"]) * GRAMS_PER_KILOWATT_HOUR

    burn = burn_of_power(float(row["power_w"]), consumption, float(row["density_kg_per_l"]))

    assert float(np.asarray(burn)) == pytest.approx(float(row["burn_l_per_h"]), abs=float(row["printed_to"]))


@pytest.mark.parametrize("row", published("fuel_distance"), ids=lambda row: row["distance_nmi"])
def test_the_fuel_of_a_distance_is_the_printed_one(row: dict[str, str]) -> None:
    under_way = float(row["distance_nmi"]) * NAUTICAL_MILE / (float(row["speed_kn"]) * KNOT)

    used = burnt(float(row["burn_gal_per_h"]) * PRINTED_GALLON_L, under_way)

    assert float(np.asarray(used)) / PRINTED_GALLON_L == pytest.approx(float(row["used_gal"]))


@pytest.mark.parametrize("row", published("fuel_cube_law"), ids=lambda row: row["other_speed_kn"])
def test_the_burn_at_a_lower_speed_is_the_one_worked_out(row: dict[str, str]) -> None:
    speeds = float(row["speed_kn"]) * KNOT, float(row["other_speed_kn"]) * KNOT

    burn = burn_at_other_speed(float(row["burn_t_per_day"]), *speeds, float(row["more"]))

    assert abs(float(np.asarray(burn)) - float(row["other_burn_t_per_day"])) <= half_a_unit(row["other_burn_t_per_day"])


@pytest.mark.parametrize("row", published("fuel_admiralty"), ids=lambda row: row["coefficient"])
def test_one_hull_keeps_its_coefficient(row: dict[str, str]) -> None:
    size, speed, other = (float(row[name]) for name in ("displacement_t", "speed_kn", "other_speed_kn"))
    power_w = float(row["power_kw"]) * 1000

    coefficient = float(np.asarray(admiralty_coefficient(size, speed, power_w)))
    other_w = float(np.asarray(burn_at_other_speed(power_w, speed * KNOT, other * KNOT)))

    assert abs(coefficient - float(row["coefficient"])) <= half_a_unit(row["coefficient"])
    assert abs(other_w / 1000 - float(row["other_power_kw"])) <= half_a_unit(row["other_power_kw"])
    assert float(np.asarray(admiralty_coefficient(size, other, other_w))) == pytest.approx(coefficient)


def test_the_rule_of_thirds_is_the_default_reserve() -> None:
    two_thirds = 2 / 3  # a third out, a third back, a third kept: one way may use two

    assert 1 / Limits().fuel_ok == pytest.approx(two_thirds)


def test_the_median_and_the_middle_half() -> None:
    fit = fitted(np.array([9.0, 10.0, 11.0, 12.0, 30.0]), np.full(5, 10.0))

    assert (fit.factor, fit.low, fit.high, fit.runs) == (1.1, 1.0, 1.2, 5)


@pytest.mark.parametrize(("runs", "known"), [(0, False), (LEAST_RUNS - 1, False), (LEAST_RUNS, True)])
def test_fewer_than_three_runs_tell_nothing(runs: int, known: bool) -> None:
    fit = fitted(np.full(runs, 12.0), np.full(runs, 10.0))

    assert (np.isfinite(fit.factor), fit.runs) == (known, runs)


def test_a_run_that_is_not_known_leaves_the_fit_not_known() -> None:
    assert np.isnan(fitted(np.array([9.0, 10.0, 11.0, np.nan]), np.full(4, 10.0)).factor)


@given(st.lists(st.floats(5.0, 20.0), min_size=3, max_size=9), st.floats(0.0, 1000.0))
def test_one_odd_run_moves_the_median_no_farther_than_its_neighbours(used: list[float], odd: float) -> None:
    expected = np.full(len(used), 10.0)

    with_odd = fitted(np.array([*used, odd]), np.append(expected, 10.0)).factor

    assert min(used) / 10 - 1e-9 <= with_odd <= max(used) / 10 + 1e-9
