"""Noting the warnings in force: who looked, when, and until when it holds."""

from datetime import timedelta

import pytest

from readiness.actions.forecast import note_warnings
from readiness.feeds.warning import WarningsRead, read_warnings
from readiness.models import TideStation, WarningLook
from readiness.queries.facts_warning import LOOK, warnings_of
from readiness.rules.words_of_trade import WarningKind
from tests.readiness.models.conftest import AT
from vessel.errors import BadInput
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


def typed(words: str) -> WarningsRead:
    return read_warnings(f"good to {AT + timedelta(hours=20):%Y-%m-%dT%H:%MZ}\n{words}\n".encode())


def test_a_warning_is_kept_as_the_rules_will_read_it(vessel: Vessel) -> None:
    read = typed("source coast radio\ngale, Outer Sound, from 2027-05-15T20:00Z: soon")

    look = note_warnings(vessel=vessel, read=read, by="timetable", at=AT)

    assert (look.source, look.looked_at, look.good_to - AT) == ("coast radio", AT, timedelta(hours=20))
    (warning,) = read.items
    assert look.items == [
        {
            "kind": "gale or worse",
            "area": "Outer Sound",
            "start": "2027-05-15T20:00:00+00:00",
            "end": None,
            "text": "soon",
        }
    ]
    assert warning.kind == WarningKind.GALE
    assert HistoryEntry.objects.get().what == (
        "Weather warnings noted: 1 warning, coast radio, good to 2027-05-16 02:30 UTC."
    )


def test_none_in_force_is_a_look_that_found_nothing(vessel: Vessel) -> None:
    look = note_warnings(vessel=vessel, read=typed("no warnings in force"), by="timetable", at=AT)

    assert (look.items, look.source) == ([], "bulletin")
    assert "none in force" in HistoryEntry.objects.get().what


REFUSED = {
    "the end of the bulletin is not told": (WarningsRead(items=()), "Until when does the bulletin speak?"),
    "looked at in the future": (typed("looked 2027-05-15T06:31Z\nno warnings"), "is yet to come; it is 2027-05-15 06:30 UTC"),
    "spoken to its end": (
        WarningsRead(items=(), looked_at=AT, good_to=AT), "The bulletin spoke until 2027-05-15 06:30 UTC, before it was",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_a_look_that_proves_nothing_is_refused_and_nothing_is_kept(vessel: Vessel, case: str) -> None:
    read, sentence = REFUSED[case]

    with pytest.raises(BadInput, match=sentence):
        note_warnings(vessel=vessel, read=read, by="timetable", at=AT)

    assert not WarningLook.objects.exists()
    assert not HistoryEntry.objects.exists()


def test_the_newest_look_is_the_one_the_facts_tell(vessel: Vessel) -> None:
    note_warnings(vessel=vessel, read=typed("gale"), by="timetable", at=AT)
    note_warnings(vessel=vessel, read=typed("no warnings in force"), by="timetable", at=AT + timedelta(hours=1))

    TideStation.objects.create(vessel=vessel, key="ostrel", name="Ostrel Haven", kind="harmonic constants")

    row = TideStation.objects.annotate(**LOOK).get()

    told = warnings_of(row)
    assert told is not None
    assert (told.items, told.looked_at) == ((), AT + timedelta(hours=1))
