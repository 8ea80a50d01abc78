"""What people type, and the number it becomes; what is asked back and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.published.read import published
from vessel.calc.quantity import MEANING, SERIES_UNITS, WHICH, WhichUnit, parse_quantity
from vessel.errors import BadInput
from vessel.models import SeriesKind


@pytest.mark.parametrize("row", published("conversion_factors"), ids=lambda row: f"{row['typed']} in {row['unit']}")
def test_a_conversion_is_as_printed(row: dict[str, str]) -> None:
    assert parse_quantity(row["typed"], row["unit"]) == pytest.approx(float(row["value"]), rel=1e-9)


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("12", "l", 12.0),
        ("2,5 l", "l", 2.5),
        ("2.5l", "l", 2.5),
        (".5 l", "l", 0.5),
        ("1/2 l", "l", 0.5),
        ("1 1/2 UK gal", "l", 6.819135),
        ("1-1/2 in", "mm", 38.1),
        (" −2.5 °C ", "degC", -2.5),
        ("45 mL/h", "l/h", 0.045),
        ("90 drips/min", "1/min", 90.0),
        ("80 %", "1", 0.8),
        ("0.8", "1", 0.8),
        ("36 °F", "K", 20.0),
        ("68 F", "degC", 20.0),
    ],
)
def test_what_people_type_is_understood(typed: str, unit: str, value: float) -> None:
    assert parse_quantity(typed, unit) == pytest.approx(value)


@pytest.mark.parametrize(
    ("typed", "unit", "choices"),
    [
        ("1/2 pt", "l", ("UK pt", "US pt")),
        ("2.5 gal", "l", ("UK gal", "US gal")),
        ("3 miles", "m", ("nautical mile", "statute mile")),
        ("1,000", "l", ("1.000", "1000")),
        ("90 hp", "kW", ("kW",)),
    ],
)
def test_a_word_with_two_meanings_is_asked_back(typed: str, unit: str, choices: tuple[str, ...]) -> None:
    with pytest.raises(WhichUnit) as asked:
        parse_quantity(typed, unit)

    assert asked.value.choices == choices
    assert typed in str(asked.value)


@pytest.mark.parametrize("word", WHICH)
def test_no_word_is_both_a_question_and_an_answer(word: str) -> None:
    assert word not in MEANING


@pytest.mark.parametrize("choice", sorted({choice for choices in WHICH.values() for choice in choices}))
def test_every_answer_offered_is_understood(choice: str) -> None:
    assert choice.replace(" ", "").lower() in MEANING


@pytest.mark.parametrize(
    "typed",
    ["", "l", "x l", "5 kn", "1/0 l", "1 000 l", "nan", "inf", "1e3 l", "5 l 3 dl", "5 furlong", "1" * 61, "--5"],
)
def test_what_is_no_quantity_of_that_kind_is_refused(typed: str) -> None:
    with pytest.raises(BadInput):
        parse_quantity(typed, "l")


def test_every_kind_of_series_but_other_has_its_unit() -> None:
    assert set(SERIES_UNITS) == set(SeriesKind.values) - {"other"}


@given(st.integers(-99999, 99999), st.sampled_from([("in", "mm", 25.4), ("ft", "m", 0.3048), ("UK gal", "l", 4.54609)]))
def test_a_quantity_typed_in_hundredths_comes_back(hundredths: int, units: tuple[str, str, float]) -> None:
    typed, kept, factor = units

    value = parse_quantity(f"{hundredths / 100:.2f} {typed}", kept)

    assert value / factor == pytest.approx(hundredths / 100, abs=1e-9)
