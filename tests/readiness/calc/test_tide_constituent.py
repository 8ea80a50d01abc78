import numpy as np
import pytest

from readiness.calc.tide_constituent import middle_of_year, one_name, phases, start_of_year, table_speed, terms
from tests.factories.tide import epoch, published_rows
from vessel.units import DAY, HOUR

NODES = published_rows("tide_node_factors.csv")
SPEEDS = published_rows("tide_speeds.csv")
VLISSINGEN = published_rows("tide_constants_vlissingen.csv")
UNKNOWN_SPEED = np.array([np.nan])


def apart(one: float, other: float) -> float:
    return abs((one - other + 180) % 360 - 180)


@pytest.mark.parametrize("row", SPEEDS + VLISSINGEN, ids=lambda row: row["constituent"])
def test_speed_is_the_published_one(row: dict[str, str]) -> None:
    m1_with_perigee = 0.0046418 if row["constituent"] in ("M1", "M7") else 0.0

    assert table_speed(row["constituent"]) + m1_with_perigee == pytest.approx(float(row["speed_deg_per_h"]), abs=1.1e-5)


@pytest.mark.parametrize("row", NODES, ids=lambda row: f"{row['constituent']} {row['year']}")
def test_phase_and_factor_agree_with_an_independent_program(row: dict[str, str]) -> None:
    new_year = np.array([epoch(f"{row['year']}-01-01T00:00Z")])

    phase, log_factor = phases(terms([row["constituent"]], UNKNOWN_SPEED), new_year, "year")

    assert apart(np.asarray(phase)[0, 0], float(row["phase_deg"])) < 0.1
    assert np.exp(np.asarray(log_factor))[0, 0] == pytest.approx(float(row["factor"]), abs=3e-4)


def test_a_compound_takes_its_phase_and_factor_from_its_parts() -> None:
    at = np.array([epoch("2026-05-01T03:00Z")])

    (m2, f2), (s2, _), (compound, f) = (phases(terms([name], UNKNOWN_SPEED), at) for name in ("M2", "S2", "3MS4"))

    assert apart(3 * np.asarray(m2)[0, 0] - np.asarray(s2)[0, 0], np.asarray(compound)[0, 0]) < 1e-6
    assert np.asarray(f) == pytest.approx(3 * np.asarray(f2))


def test_a_plain_speed_has_no_node_factor_and_is_counted_from_1970() -> None:
    at = np.array([0.0, 2 * HOUR])

    phase, log_factor = phases(terms(["SEICHE"], np.array([90.0])), at)

    np.testing.assert_allclose(np.asarray(phase)[:, 0], [0.0, 180.0], atol=1e-9)
    np.testing.assert_array_equal(log_factor, 0.0)


def test_a_name_in_no_table_and_without_a_speed_is_not_known() -> None:
    phase, _ = phases(terms(["SEICHE"], UNKNOWN_SPEED), np.array([0.0]))

    assert np.isnan(phase).all()
    assert np.isnan(table_speed("SEICHE"))


def test_factors_of_the_year_hold_still_within_a_year_and_those_of_the_day_do_not() -> None:
    at = epoch("2025-01-01T00:00Z") + np.array([0.0, 360 * DAY])
    these = terms(["O1"], UNKNOWN_SPEED)

    _, year = phases(these, at, "year")
    _, day = phases(these, at, "day")

    assert np.ptp(np.asarray(year)) == 0
    assert np.ptp(np.asarray(day)) > 0.001


def test_year_turns_at_midnight_utc() -> None:
    at = np.array([epoch("2024-12-31T23:59:59Z"), epoch("2025-01-01T00:00Z"), np.nan])

    assert np.asarray(start_of_year(at))[:2].tolist() == [epoch("2024-01-01T00:00Z"), epoch("2025-01-01T00:00Z")]
    assert np.asarray(middle_of_year(at))[:2].tolist() == [epoch("2024-07-02T00:00Z"), epoch("2025-07-02T12:00Z")]
    assert np.isnan(np.asarray(middle_of_year(at))[2])


def test_one_constituent_may_go_by_several_names() -> None:
    assert one_name("LABDA2") == "LAM2"
    assert one_name("M2") == "M2"
    assert table_speed("RHO1") == table_speed("RHO")
