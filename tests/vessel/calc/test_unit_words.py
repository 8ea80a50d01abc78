import pytest

from vessel.calc.unit_words import unit_word


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        ("m s**-1", "m/s"),
        ("m/s", "m/s"),
        ("kg m**-2", "kg/m²"),
        ("m**2 s**-2", "m²/s²"),
        ("kg m**-2 s**-1", "kg/m²/s"),
        ("s**-1", "1/s"),
        ("l/h", "L/h"),
        ("%", "%"),
    ],
)
def test_powers_of_a_unit_are_written_as_people_do(unit: str, words: str) -> None:
    assert unit_word(unit) == words
