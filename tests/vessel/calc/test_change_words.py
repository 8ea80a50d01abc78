import pytest

from vessel.calc.change_words import change_lines, column_words, private_words

ZONE = "Europe/Lisbon"
LABELS = {
    "contact_name": "shore contact",
    "planned_at": "planned departure",
    "speed_mps": "speed through the water (m/s)",
}


@pytest.mark.parametrize(
    ("name", "values", "line"),
    [
        ("contact_name", [None, "Ann"], "Shore contact: not known → Ann"),
        ("contact_name", ["Ann", ""], "Shore contact: Ann → not known"),
        (
            "planned_at",
            ["2027-05-15T06:30:00.000000Z", None],
            "Planned departure: Sat 15 May 07:30 (06:30 UTC) → not known",
        ),
        ("speed_mps", [3.6011, 3.0867], "Speed through the water: 7.00 kn → 6.00 kn"),
        ("draught_m", [1, 1.25], "Draught: 1 m → 1.25 m"),
        ("slip_s", [900, 0], "Slip: 15 min → 0 s"),
        ("burn_l_per_h", [9.0, 9.5], "Burn: 9 L/h → 9.50 L/h"),
        ("usable_l", [None, 0], "Usable: not known → 0 L"),
        ("harbour_move", [False, True], "Harbour move: no → yes"),
        ("next_haul_out_on", ["2027-10-01", None], "Next haul out on: 1 Oct 2027 → not known"),
        ("sha256", [None, "a" * 64], "Sha256: not known → aaaaaaaa…"),
        ("months", [[], [4, 5]], "Months: none → 4, 5"),
        ("kind", ["sea_valve", "pump"], "Kind: sea valve → pump"),
        ("number", "odd", "Number: not known → odd"),
    ],
)
def test_a_change_is_said_in_words(name: str, values: object, line: str) -> None:
    assert change_lines({name: values}, ZONE, LABELS) == [line]


def test_private_changes_are_said_in_words_too() -> None:
    text = "contact_name: None → Ann; contact_details: Ann; at the office → 12 Quay Row; rings: two"

    assert private_words(text, ZONE, LABELS) == (
        "Shore contact: not known → Ann; Contact details: Ann; at the office → 12 Quay Row; rings: two"
    )


@pytest.mark.parametrize("text", ["Two friends at the lock", "Why: calm → we went", "Note: none", ""])
def test_a_private_sentence_stays_as_it_was_written(text: str) -> None:
    assert private_words(text, ZONE, LABELS) == text


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("air_draught_m", "Air draught"),
        ("speed_mps", "Speed through the water"),
        ("note", "Note"),
        ("at_sea", "At sea"),
    ],
)
def test_a_column_is_called_what_people_call_it(name: str, words: str) -> None:
    assert column_words(name, LABELS) == words
