from datetime import UTC, datetime

import pytest
from django import forms

from vessel.forms.local_time import LocalTimeField


class LeavingForm(forms.Form):
    """One time, by the clock of Lisbon."""

    leaves = LocalTimeField(zone="Europe/Lisbon", required=False)


def typed(text: str, which: str = "") -> LeavingForm:
    return LeavingForm({"leaves": text, "leaves_which": which})


@pytest.mark.parametrize("text", ["2027-05-15T07:30", "2027-05-15 07:30", " 2027-05-15T07:30:12 "])
def test_a_local_time_gives_the_moment_in_utc(text: str) -> None:
    form = typed(text)

    assert form.is_valid()
    assert form.cleaned_data["leaves"] == datetime(2027, 5, 15, 6, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("soon", "Write it like 2027-05-15 07:30"),
        ("2027-05-15T07:30Z", "Leave out the zone"),
        ("2027-03-28T01:30", "The clocks jump over 01:30"),
    ],
)
def test_what_is_no_time_of_that_clock_is_refused_and_stays_in_its_box(text: str, told: str) -> None:
    form = typed(text)

    assert not form.is_valid()
    assert told in form.errors["leaves"][0]
    assert text in str(form["leaves"])


def test_a_time_the_clocks_show_twice_is_asked_back() -> None:
    form = typed("2027-10-31T01:30")

    assert form.errors["leaves"] == ["The clocks show 01:30 twice on that day. Say which one."]
    assert "the first, WEST (00:30 UTC)" in str(form["leaves"])
    assert "the second, WET (01:30 UTC)" in str(form["leaves"])


@pytest.mark.parametrize(("which", "hour"), [("first", 0), ("second", 1)])
def test_the_one_that_was_picked_is_meant(which: str, hour: int) -> None:
    form = typed("2027-10-31T01:30", which)

    assert form.is_valid()
    assert form.cleaned_data["leaves"] == datetime(2027, 10, 31, hour, 30, tzinfo=UTC)


def test_nothing_typed_is_not_known_or_asked_for_where_it_must_be_there() -> None:
    asked, form = LocalTimeField(zone="UTC"), typed("")

    assert form.is_valid()
    assert form.cleaned_data == {"leaves": None}
    with pytest.raises(forms.ValidationError, match="required"):
        asked.clean(("", ""))


def test_a_moment_known_already_stands_in_the_box_by_the_harbours_clock() -> None:
    form = LeavingForm(initial={"leaves": datetime(2027, 5, 15, 6, 30, tzinfo=UTC)})

    assert 'value="2027-05-15T07:30"' in str(form["leaves"])
    assert "Sat 15 May 07:30 (06:30 UTC)" in str(form["leaves"])
    assert "which" not in str(form["leaves"])
