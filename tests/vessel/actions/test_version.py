"""Two people with one row open: the second is told both texts, and nothing is lost."""

from datetime import date, datetime

import pytest
from django.apps import apps
from django.db.models import CheckConstraint

from tests.factories.vessel import SOUND, a_vessel, an_item
from vessel.actions.particulars import change, take_away, write_down
from vessel.actions.version import ChangedMeanwhile, rule_words, save_changed
from vessel.errors import BadInput, Refused
from vessel.models import Equipment, FeedChoice, Person, Tank, Vessel
from vessel.models.versioned import Versioned
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db


def test_a_change_grows_the_version_and_tells_before_and_after() -> None:
    vessel = a_vessel(draught_m=1.25)

    changed = save_changed(vessel, 1, draught_m=1.30, name="Tallow Wren")

    assert changed == {"draught_m": [1.25, 1.30]}
    assert (vessel.version, Vessel.objects.get().version, Vessel.objects.get().draught_m) == (2, 2, 1.30)


def test_nothing_changed_is_nothing_saved() -> None:
    vessel = a_vessel()

    assert save_changed(vessel, 1, name="Tallow Wren") == {}
    assert Vessel.objects.get().version == 1


def test_the_second_of_two_is_refused_with_both_texts() -> None:
    mine, theirs = a_vessel(draught_m=1.25), Vessel.objects.get()
    save_changed(theirs, 1, draught_m=1.30)

    with pytest.raises(ChangedMeanwhile) as refusal:
        save_changed(mine, 1, draught_m=1.40)

    assert "Draught: yours “1.40 m”, theirs “1.30 m”" in str(refusal.value)
    assert (refusal.value.yours, refusal.value.theirs) == ({"draught_m": 1.40}, {"draught_m": 1.30})
    assert Vessel.objects.get().draught_m == 1.30


@pytest.mark.parametrize("seen", [0, 2, 99])
def test_a_version_nobody_can_have_seen_is_refused(seen: int) -> None:
    with pytest.raises(ChangedMeanwhile):
        save_changed(a_vessel(), seen, name="Other")

    assert Vessel.objects.get().name == "Tallow Wren"


def test_a_change_that_breaks_a_rule_is_refused_in_plain_words() -> None:
    vessel = a_vessel(loa_m=12.2)

    with pytest.raises(
        BadInput, match=r"Not saved: The waterline cannot be longer than she is\. Nothing was changed\."
    ):
        save_changed(vessel, 1, lwl_m=13.0)

    assert (Vessel.objects.get().lwl_m, Vessel.objects.get().version) == (None, 1)


@pytest.mark.parametrize(
    ("columns", "sentence"),
    [
        ({"draught_m": 0.0}, "Draught must be above zero"),
        ({"draught_m": -1.2}, "Draught must be above zero"),
        ({"speed_factor_late": 1.01}, "Speed factor late must be from 0.50 to 1"),
        ({"name": ""}, "Name: This field cannot be blank"),
        ({"currency": "eur"}, "The currency is three capitals, such as EUR"),
    ],
)
def test_a_broken_rule_names_the_column_as_people_do(columns: dict[str, object], sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        save_changed(a_vessel(), 1, **columns)

    assert sentence in str(refusal.value)
    assert "_" not in str(refusal.value)


@pytest.mark.parametrize("columns", [{"draught_m": 0.001}, {"speed_factor_late": 0.5}, {"speed_factor_late": 1.0}])
def test_a_figure_just_inside_a_rule_is_saved(columns: dict[str, float]) -> None:
    assert save_changed(a_vessel(), 1, **columns).keys() == columns.keys()


RULES = [
    pytest.param(kind, rule.name, id=rule.name)
    for kind in apps.get_models()
    if issubclass(kind, Versioned)
    for rule in kind._meta.constraints
    if isinstance(rule, CheckConstraint)
]


@pytest.mark.parametrize(("kind", "name"), RULES)
def test_every_rule_somebody_could_break_has_words(kind: type[Versioned], name: str) -> None:
    words = rule_words(kind, name)

    assert words[0].isupper()
    assert not words.startswith("This must hold")
    assert not any(sign in words for sign in ("_", "{", "its least"))


def test_a_thing_of_another_vessel_is_refused(at: datetime) -> None:
    foreign = an_item(code="EN-99")

    with pytest.raises(BadInput, match="belongs to another vessel"):
        write_down(
            Tank, vessel=a_vessel(), by="owner-1", at=at, name="Main", kind="fuel", capacity_l=450.0, equipment=foreign
        )

    assert not Tank.objects.exists()


def test_writing_down_changing_and_taking_away_each_leave_a_line(at: datetime) -> None:
    vessel = a_vessel()

    tank = write_down(Tank, vessel=vessel, by="owner-1", at=at, name="Main", kind="fuel", capacity_l=450.0)
    change(tank, vessel=vessel, seen_version=1, by="owner-1", at=at, capacity_l=440.0)
    take_away(tank, vessel=vessel, seen_version=2, by="owner-1", at=at)

    lines = history_page(vessel.pk)
    assert [line.what for line in lines] == [
        "Tank taken away: Main.", "Tank Main changed: capacity.", "Tank written down: Main."]  # fmt: skip
    assert lines[1].changes == {"capacity_l": [450.0, 440.0]}
    assert {line.noun_key for line in lines} == {"Main"}


def test_a_person_appears_in_history_by_token_and_private_columns_stay_out(at: datetime) -> None:
    vessel = a_vessel()

    person = write_down(Person, vessel=vessel, by="owner-1", at=at, name="Odile Marr", token="hand-1", can_helm=True)
    change(person, vessel=vessel, seen_version=1, by="owner-1", at=at, fit="limits", fit_note="bad knee")

    changed, written = history_page(vessel.pk)
    shown = f"{changed.what} {changed.changes} {written.what} {written.changes}"
    assert not any(word in shown for word in ("Odile", "knee", "limits"))
    assert "hand-1" in changed.what
    assert "fit_note:  → bad knee" in changed.private
    assert "Odile Marr" in written.private


def test_what_something_leans_on_is_kept(at: datetime) -> None:
    choice = SOUND[FeedChoice]()
    feed: Equipment = choice.feed

    with pytest.raises(Refused, match="is still in use, so it was kept"):
        take_away(feed, vessel=feed.vessel, seen_version=1, by="owner-1", at=at)

    assert Equipment.objects.filter(pk=feed.pk).exists()
    assert not history_page(feed.vessel_id)


def test_a_row_changed_meanwhile_is_not_taken_away(at: datetime) -> None:
    item = an_item()
    Equipment.objects.filter(pk=item.pk).update(version=2)

    with pytest.raises(Refused, match="changed by somebody else"):
        take_away(item, vessel=item.vessel, seen_version=1, by="owner-1", at=at)

    assert Equipment.objects.filter(pk=item.pk).exists()


def test_a_date_in_history_is_text(at: datetime) -> None:
    vessel = a_vessel()

    change(vessel, vessel=vessel, seen_version=1, by="owner-1", at=at, next_haul_out_on=date(2027, 3, 1))

    assert history_page(vessel.pk)[0].changes == {"next_haul_out_on": [None, "2027-03-01"]}
