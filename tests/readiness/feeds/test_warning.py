"""Weather warnings as typed: what, where, from when to when; and that nothing typed is not "none"."""

from datetime import UTC, datetime

import pytest

from readiness.feeds.warning import TAKE_WARNINGS, read_warnings
from readiness.rules.words_of_trade import WarningKind
from vessel.errors import BadInput

TYPED = b"""source coast radio
looked 2027-05-14T18:10Z
good to 2027-05-15T18:00Z
gale, Outer Sound, from 2027-05-14T20:00Z to 2027-05-15T06:00Z: southwest gale 8 expected: soon
Thunder, Inner Bay.
"""


def moment(*when: int) -> datetime:
    return datetime(*when, tzinfo=UTC)  # type: ignore[misc, arg-type]


def test_warnings_tell_kind_area_time_and_words() -> None:
    read = TAKE_WARNINGS(TYPED)

    assert (read.source, read.looked_at, read.good_to) == (
        "coast radio", moment(2027, 5, 14, 18, 10), moment(2027, 5, 15, 18),
    )  # fmt: skip
    gale, thunder = read.items
    assert (gale.kind, gale.area, gale.text) == (WarningKind.GALE, "Outer Sound", "southwest gale 8 expected: soon")
    assert (gale.start, gale.end) == (moment(2027, 5, 14, 20), moment(2027, 5, 15, 6))
    assert (thunder.kind, thunder.area, thunder.text) == (WarningKind.THUNDER, "Inner Bay", "Thunder, Inner Bay")
    assert (thunder.start, thunder.end) == (None, None)


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("gale warning", WarningKind.GALE), ("severe gale", WarningKind.GALE), ("Storm", WarningKind.GALE),
        ("hurricane force", WarningKind.GALE), ("near gale", WarningKind.STRONG_WIND),
        ("strong winds", WarningKind.STRONG_WIND), ("thunderstorms", WarningKind.THUNDER), ("other", WarningKind.OTHER),
    ],
)  # fmt: skip
def test_the_first_word_says_the_kind(word: str, kind: WarningKind) -> None:
    assert [warning.kind for warning in read_warnings(word.encode()).items] == [kind]


@pytest.mark.parametrize(
    "words", ["no warnings in force", "No warnings.", "none in force", "There are no warnings in force"]
)
def test_none_in_force_is_said_and_is_no_warning(words: str) -> None:
    assert read_warnings(words.encode()).items == ()


REFUSED = {
    "nothing": ("", "Line 1: no warning stands here. If there is none, write: no warnings in force."),
    "only a source": ("source radio\n", "Line 2: no warning stands here."),
    "both": ("gale\nno warnings in force\n", "Line 2: no warnings in force, it says, and there is a warning beside it"),
    "another kind": ("sea serpents\n", "Line 1: 'sea serpents' is not a warning such as: gale, Outer Sound"),
    "a day that is a question": (
        "gale from 03/04/2027 12:00\n",
        "Line 1, column start: Is '03/04/2027 12:00' day first",
    ),
    "time backwards": (
        "gale from 2027-05-15T06:00Z to 2027-05-14T20:00Z",
        "Line 1: the warning ends before it begins.",
    ),
    "twice": ("source a\nsource b\n", "Line 2: 'source' was given already."),
    "too many": ("gale\n" * 51, "Line 51: there are more than 50 warnings."),
    "too long": ("#" * 20_001, "Line 1: warnings of more than 20,000 bytes are none that anybody typed."),
    "a long source": (f"source {'x' * 101}\n", "Line 1: the source is a name of at most 100 characters."),
}


@pytest.mark.parametrize("case", REFUSED)
def test_anything_else_is_asked_about_by_its_line(case: str) -> None:
    text, sentence = REFUSED[case]

    with pytest.raises(BadInput) as refusal:
        read_warnings(text.encode())

    assert str(refusal.value).startswith(sentence)
    assert str(refusal.value).endswith(" Nothing was taken in.")
