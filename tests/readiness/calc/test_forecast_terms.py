"""The set words of bulletins against the printed tables, both ways."""

import math

import numpy as np
import pytest

from readiness.calc.forecast_terms import (
    TIMINGS_S,
    VISIBILITIES,
    combined_height,
    direction_deg,
    middle_of,
    visibility_word,
    wind_band,
)
from readiness.calc.sea_state import beaufort_of_knots
from tests.published.read import published
from vessel.calc.wording import POINTS
from vessel.units import HOUR, KNOT


@pytest.mark.parametrize("row", published("beaufort"), ids=lambda row: row["force"])
def test_a_force_is_the_printed_whole_knots_and_both_ends_are_that_force(row: dict[str, str]) -> None:
    band = wind_band(int(row["force"]))

    assert band.low / KNOT == pytest.approx(float(row["from_kn"]))
    assert band.high / KNOT == pytest.approx(float(row["to_kn"] or np.inf))
    for end in band:
        if math.isfinite(end):
            assert beaufort_of_knots(round(end / KNOT, 6)) == float(row["force"])


@pytest.mark.parametrize("force", [-1, 13])
def test_no_force_has_no_wind(force: int) -> None:
    assert math.isnan(wind_band(force).low)


@pytest.mark.parametrize("row", published("visibility_words"), ids=lambda row: row["words"])
def test_each_visibility_has_its_printed_limits_and_each_limit_its_word(row: dict[str, str]) -> None:
    band = VISIBILITIES[row["words"]]

    assert (band.low, band.high) == (float(row["from_m"]), float(row["to_m"] or np.inf))
    assert visibility_word(band.low) == row["words"]
    assert visibility_word(min(band.high - 0.1, 1e6)) == row["words"]


def test_a_visibility_that_is_not_known_has_no_word() -> None:
    assert visibility_word(math.nan) == ""


def test_changes_come_within_six_within_twelve_and_beyond_twelve_hours() -> None:
    hours = {word: (band.low / HOUR, band.high / HOUR) for word, band in TIMINGS_S.items()}

    assert hours == {"imminent": (0, 6), "soon": (6, 12), "later": (12, math.inf)}


@pytest.mark.parametrize(("number", "letters"), list(enumerate(POINTS)))
def test_each_of_the_sixteen_points_is_known_in_letters_words_and_endings(number: int, letters: str) -> None:
    names = {"N": "north", "E": "east", "S": "south", "W": "west"}
    spelt = "".join(names[letter] for letter in letters)

    for word in (letters, letters.lower(), spelt, f"{spelt}erly", "-".join(names[letter] for letter in letters)):
        assert direction_deg(word) == number * 22.5


@pytest.mark.parametrize("word", ["", "up", "northish", "nw2", "er", "ly"])
def test_what_is_no_point_has_no_direction(word: str) -> None:
    assert direction_deg(word) is None


@pytest.mark.parametrize(
    ("first", "last", "middle"),
    [(225, 270, 247.5), (350, 10, 0), (10, 350, 0), (0, 90, 45), (90, 90, 90), (0, 91, math.nan), (0, 180, math.nan)],
)
def test_the_middle_of_two_directions_lies_on_the_shorter_arc_up_to_a_quarter(
    first: float, last: float, middle: float
) -> None:
    assert middle_of(first, last) == pytest.approx(middle, nan_ok=True)


def test_sea_and_swell_add_their_energies() -> None:
    assert combined_height(3.0, 4.0) == pytest.approx(5.0)
    assert np.isnan(combined_height(math.nan, 2.0))
