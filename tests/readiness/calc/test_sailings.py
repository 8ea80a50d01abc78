"""The sailings by hand against printed examples and against the true lines."""

import numpy as np
import pytest

from readiness.calc.sailings import mercator_sailing, mid_latitude, mid_latitude_forward
from readiness.calc.track import rhumb
from tests.published.read import half_a_unit, published
from vessel.units import NAUTICAL_MILE

ROWS = published("sailings")


def degrees(row: dict[str, str], name: str) -> float:
    """Degrees and minutes as printed, the sign before the degrees."""
    whole, minutes = row[f"{name}_deg"], float(row[f"{name}_min"])
    return float(np.copysign(abs(float(whole)) + minutes / 60, float(whole)))


def ends(row: dict[str, str]) -> tuple[float, float, float, float]:
    return degrees(row, "lat1"), degrees(row, "lon1"), degrees(row, "lat2"), degrees(row, "lon2")


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["sailing"] == "mercator"], ids=lambda row: row["distance_nmi"]
)
def test_mercator_sailing_gives_the_printed_course_and_distance(row: dict[str, str]) -> None:
    distance, course = mercator_sailing(*ends(row))

    # the last place of a distance may have been rounded from another spheroid: one unit of it, not a half
    assert distance / NAUTICAL_MILE == pytest.approx(
        float(row["distance_nmi"]), abs=2 * half_a_unit(row["distance_nmi"])
    )
    assert course == pytest.approx(float(row["course_deg"]), abs=half_a_unit(row["course_deg"]) + 1e-9)
    assert rhumb(*ends(row))[1] == pytest.approx(course)


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["sailing"] == "mercator"], ids=lambda row: row["distance_nmi"]
)
def test_mercator_sailing_is_within_half_a_percent_of_the_true_line(row: dict[str, str]) -> None:
    assert mercator_sailing(*ends(row))[0] == pytest.approx(rhumb(*ends(row))[0], rel=0.005)


def test_mid_latitude_sailing_gives_the_printed_course_and_distance() -> None:
    row = next(row for row in ROWS if row["distance_nmi"] == "1007")

    distance, course = mid_latitude(*ends(row))

    assert distance / NAUTICAL_MILE == pytest.approx(float(row["distance_nmi"]), abs=half_a_unit(row["distance_nmi"]))
    assert course == pytest.approx(float(row["course_deg"]), abs=half_a_unit(row["course_deg"]))


def test_mid_latitude_sailing_reaches_the_printed_place() -> None:
    row = next(row for row in ROWS if row["distance_nmi"] == "1253")
    lat1, lon1, lat2, lon2 = ends(row)

    reached = mid_latitude_forward(lat1, lon1, float(row["course_deg"]), float(row["distance_nmi"]) * NAUTICAL_MILE)

    assert reached[0] * 60 == pytest.approx(lat2 * 60, abs=half_a_unit(row["lat2_min"]) + 1e-6)
    assert reached[1] * 60 == pytest.approx(lon2 * 60, abs=half_a_unit(row["lon2_min"]) + 1e-6)
    assert mid_latitude(lat1, lon1, *reached)[0] / NAUTICAL_MILE == pytest.approx(float(row["distance_nmi"]))
