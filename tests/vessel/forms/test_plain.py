from django import forms
from django.http import QueryDict

from vessel.actions.version import ChangedMeanwhile
from vessel.errors import Refused
from vessel.forms.plain import OnceForm, VersionForm


class NoteForm(VersionForm):
    """A note and ticks."""

    note = forms.CharField()
    ticks = forms.CharField(required=False)


def sent(text: str, prefix: str = "") -> NoteForm:
    return NoteForm(QueryDict(text), prefix=prefix or None)


def test_each_form_that_is_opened_carries_a_key_of_its_own() -> None:
    keys = {OnceForm()["once"].value() for _ in range(3)}

    assert len(keys) == 3


def test_its_words_are_all_that_was_typed_and_not_its_key() -> None:
    form = sent("once=k&csrfmiddlewaretoken=t&version=3&note=Calm&ticks=a&ticks=b")

    assert form.words() == {"version": "3", "note": "Calm", "ticks": "a b"}


def test_asked_again_it_is_another_form_with_the_same_words() -> None:
    form = sent("n-once=k&n-version=3&n-note=Calm", prefix="n")

    form.ask_again(version=4)

    assert form["note"].value() == "Calm"
    assert form["version"].value() == "4"
    assert form["once"].value() not in {"k", None}


def test_a_refusal_stands_at_its_field_or_above_all() -> None:
    at_field, above = sent("version=3&note=Calm"), sent("version=3&note=Calm")

    at_field.refuse(Refused("Too calm."), "note")
    above.refuse(Refused("Too calm."), "no such field")

    assert at_field.errors["note"] == ["Too calm."]
    assert above.non_field_errors() == ["Too calm."]


def test_a_row_changed_meanwhile_is_saved_over_only_by_saving_again() -> None:
    form = sent("once=k&version=3&note=Calm")
    assert form.is_valid()

    form.refuse(ChangedMeanwhile("Theirs is kept.", {"note": "Calm"}, {"note": "Rough"}, 5))

    assert form.non_field_errors() == ["Theirs is kept."]
    assert (form["version"].value(), form["note"].value()) == ("5", "Calm")


def test_the_first_wrong_field_takes_the_focus() -> None:
    form = sent("version=3&note=")

    assert not form.is_valid()
    assert "autofocus" in str(form["note"])
    assert "autofocus" not in str(form["ticks"])
