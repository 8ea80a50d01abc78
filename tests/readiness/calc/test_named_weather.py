"""Winds and seas by their printed names, there and back; directions as one aboard says them."""

import numpy as np
import pytest

from readiness.calc.named_weather import force_of_words, force_words, from_where, sea_of_words, sea_words
from readiness.calc.sea_state import beaufort, beaufort_of_knots, sea_of_beaufort, sea_state_code, wind_of_beaufort
from tests.published.read import published
from vessel.units import FOOT, KNOT


@pytest.mark.parametrize("row", published("beaufort_words"), ids=lambda row: row["words"])
def test_each_force_has_its_printed_name_and_each_name_its_force(row: dict[str, str]) -> None:
    force = float(row["force"])

    assert force_words(force) == row["words"]
    assert force_of_words(f"  {row['words'].upper()} ") == force


@pytest.mark.parametrize("row", published("beaufort"), ids=lambda row: row["force"])
def test_printed_knots_come_back_from_the_name_of_their_force(row: dict[str, str]) -> None:
    for printed in filter(None, (row["from_kn"], row["to_kn"])):
        knots = float(printed)

        lowest, following = wind_of_beaufort(force_of_words(force_words(beaufort_of_knots(knots))))

        assert round(float(lowest / KNOT), 6) <= knots < round(float(following / KNOT), 6)


@pytest.mark.parametrize(("words", "force"), [("severe gale", 9.0), ("Hurricane  Force", 12.0), ("brisk", np.nan)])
def test_other_names_of_bulletins_are_understood_and_no_name_is_guessed(words: str, force: float) -> None:
    assert force_of_words(words) == pytest.approx(force, nan_ok=True)


@pytest.mark.parametrize("row", published("beaufort_words")[1:-1], ids=lambda row: row["words"])
def test_the_printed_middle_of_a_force_bears_its_name(row: dict[str, str]) -> None:
    assert force_words(beaufort(float(row["middle_mps"]))) == row["words"]


@pytest.mark.parametrize("row", published("beaufort_feet"), ids=lambda row: row["force"])
def test_probable_heights_agree_with_those_printed_in_feet(row: dict[str, str]) -> None:
    probable, _ = sea_of_beaufort(float(row["force"]))

    assert probable == pytest.approx(float(row["probable_height_ft"]) * FOOT, abs=0.3)


@pytest.mark.parametrize("row", published("sea_state_words"), ids=lambda row: row["words"])
def test_each_sea_has_its_printed_name_and_each_name_its_heights(row: dict[str, str]) -> None:
    above, to = sea_of_words(row["words"].replace(",", ""))

    assert sea_words(float(row["code"])) == row["words"]
    assert (above, to) == (float(row["above_m"]), float(row["to_m"] or np.inf))
    assert not row["to_m"] or sea_words(sea_state_code(to)) == row["words"]


def test_calm_alone_is_both_calm_seas_and_no_name_is_no_height() -> None:
    assert sea_of_words("Calm") == (0.0, 0.1)
    assert all(np.isnan(height) for height in sea_of_words("lumpy"))


@pytest.mark.parametrize("number", [np.nan, -1.0, 13.0, 3.5])
def test_what_is_no_code_has_no_name(number: float) -> None:
    assert (force_words(number), sea_words(number)) == ("", "")


@pytest.mark.parametrize(
    ("angle", "word"),
    [
        (0.0, "ahead"), (22.5, "ahead"), (-22.6, "on the bow"), (67.5, "on the bow"), (67.6, "abeam"), (270.0, "abeam"),
        (112.5, "abeam"), (112.6, "on the quarter"), (-157.5, "on the quarter"), (157.6, "astern"), (180.0, "astern"),
        (540.0, "astern"), (np.nan, ""),
    ],
)  # fmt: skip
def test_a_direction_off_the_bow_is_said_as_one_aboard_would(angle: float, word: str) -> None:
    assert from_where(angle) == word
