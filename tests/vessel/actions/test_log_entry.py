"""The log: entries, the hour meter in them, what stays private, striking out."""

from datetime import datetime, timedelta

import pytest

from tests.factories.vessel import a_series, a_vessel
from vessel.actions.log_entry import add_entry, strike_entry
from vessel.errors import BadInput, Refused
from vessel.models import LogEntry, Reading
from vessel.queries.history import chain, history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


def test_an_entry_holds_its_values_and_history_tells_it(at: datetime) -> None:
    vessel = a_vessel()

    entry = add_entry(vessel=vessel, kind="cold_start", by=BY, at=at, text="Smoked a little.",
                      values={"lowest_v": 19.4, "alone": True}, happened_at=at - timedelta(hours=1))  # fmt: skip

    assert (entry.at, entry.entered_at, entry.values) == (
        at - timedelta(hours=1),
        at,
        {"lowest_v": 19.4, "alone": True},
    )
    line = history_page(vessel.pk)[0]
    assert line.what == "Log: cold start: Smoked a little."
    assert line.changes == {"lowest_v": [None, 19.4], "alone": [None, True]}


def test_an_hour_meter_figure_is_a_reading_too(at: datetime) -> None:
    vessel = a_vessel()
    series = a_series(vessel, kind="engine_hours", unit="h")

    add_entry(vessel=vessel, kind="engine_hours", by=BY, at=at, engine_hours=3420.5)

    reading = Reading.objects.get(series=series)
    assert (reading.value, reading.engine_hours, reading.how, reading.at) == (3420.5, 3420.5, "read off", at)


def test_a_meter_running_backwards_refuses_the_whole_entry(at: datetime) -> None:
    vessel = a_vessel()
    a_series(vessel, kind="engine_hours", unit="h")
    add_entry(vessel=vessel, kind="engine_hours", by=BY, at=at, engine_hours=3420.5)

    with pytest.raises(Refused, match="never runs backwards"):
        add_entry(vessel=vessel, kind="engine_hours", by=BY, at=at + timedelta(1), engine_hours=3000)

    assert LogEntry.objects.count() == 1


@pytest.mark.parametrize("kind", ["note", "passage"])
def test_what_is_told_of_people_and_whereabouts_stays_out_of_the_chain(at: datetime, kind: str) -> None:
    vessel = a_vessel()

    add_entry(vessel=vessel, kind=kind, by=BY, at=at, text="Away till August with Odile.")

    assert "August" not in str(list(chain(vessel.pk)))
    assert history_page(vessel.pk)[0].private == "Away till August with Odile."


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"kind": "song"}, "not a kind of log entry"),
        ({"kind": "note", "text": " "}, "An empty note"),
        ({"kind": "engine_hours"}, "Give the hour meter's figure"),
        ({"kind": "helm_check", "happened_at": "later"}, "cannot lie in the future"),
    ],
)
def test_what_is_no_entry_is_refused(at: datetime, fields: dict[str, object], sentence: str) -> None:
    vessel = a_vessel()
    if "happened_at" in fields:
        fields = {**fields, "happened_at": at + timedelta(minutes=6)}

    with pytest.raises(BadInput, match=sentence):
        add_entry(vessel=vessel, by=BY, at=at, **fields)  # type: ignore[arg-type]

    assert not LogEntry.objects.exists()
    assert not history_page(vessel.pk)


def test_an_entry_is_struck_out_once_and_stays(at: datetime) -> None:
    vessel = a_vessel()
    entry = add_entry(vessel=vessel, kind="lights_check", by=BY, at=at)

    strike_entry(entry_id=entry.pk, by=BY, at=at)

    assert LogEntry.objects.get().struck_by == BY
    assert history_page(vessel.pk)[0].what == "Log entry struck out: lights checked."
    with pytest.raises(Refused, match="struck out already"):
        strike_entry(entry_id=entry.pk, by=BY, at=at)
