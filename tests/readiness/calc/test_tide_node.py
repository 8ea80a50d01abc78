import numpy as np
import pytest

from readiness.calc.tide_constituent import middle_of_year
from readiness.calc.tide_node import FACTORS, FAMILIES, LEADS, node_factors, node_leads
from readiness.calc.tide_orbit import moons_orbit
from tests.factories.tide import epoch, even, published_rows
from vessel.units import DAY

SIMPLE = {"M2", "K1", "O1", "K2", "J1", "OO1", "MM", "MF", "M1", "L2"}
PUBLISHED = [row for row in published_rows("tide_node_factors.csv") if row["constituent"] in SIMPLE]


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row['constituent']} {row['year']}")
def test_factor_and_lead_of_mid_year_agree_with_an_independent_program(row: dict[str, str]) -> None:
    family = FAMILIES.index(row["constituent"])
    orbit = moons_orbit(middle_of_year(epoch(f"{row['year']}-03-01T00:00Z")))

    assert np.asarray(node_factors(orbit))[family] == pytest.approx(float(row["factor"]), abs=1.5e-4)
    assert np.asarray(node_leads(orbit))[family] == pytest.approx(float(row["lead_deg"]), abs=0.015)


def test_every_family_has_both_a_factor_and_a_lead() -> None:
    assert set(FACTORS) == set(LEADS) == SIMPLE | {"M1C"}
    assert len(PUBLISHED) == 2 * len(SIMPLE)


def test_the_factor_from_the_fourth_power_of_the_parallax_is_its_inclination_function_over_its_mean() -> None:
    """Against the sum in cosines of the inclination that satellite theory writes for degree 3, order 1."""
    orbit = moons_orbit(even(epoch("2010-01-01T00:00Z"), 6798, DAY))
    cosine = np.cos(np.radians(orbit.inclination))
    by_theory = 0.75 * (1 + cosine) - 15 / 16 * (1 - cosine**2) * (1 + 3 * cosine)

    factor = np.asarray(node_factors(orbit))[:, FAMILIES.index("M1C")]

    np.testing.assert_allclose(factor, by_theory / (1.5 * 0.5873), rtol=1e-12)
    assert factor.mean() == pytest.approx(1.0, abs=0.03)


def test_factors_stay_above_zero_and_keep_their_mean_near_one_over_two_swings_of_the_node() -> None:
    at = even(epoch("1990-01-01T00:00Z"), 2 * 6798, DAY)

    factors = np.asarray(node_factors(moons_orbit(at)))

    assert factors.min() > 0
    for family in ("M2", "O1", "K1", "MM"):
        assert factors[:, FAMILIES.index(family)].mean() == pytest.approx(1.0, abs=0.02)
