"""A gate on the way: in the list, on its page, and asked for by its key."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.actions.coast import add_gate, add_stream_table
from readiness.models import Gate, Leg, TideStation
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.vessel import a_vessel
from tests.factories.worked_example import worked_example
from vessel.models import Role
from vessel.units import HOUR, KNOT

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)
ROWS = [(-6.5, 90.0, 2.0), (-1.0, 90.0, 1.0), (0.0, 270.0, 2.0), (5.0, 270.0, 1.0)]


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def leg() -> Leg:
    return stored(worked_example(1))


@pytest.fixture
def browser(leg: Leg) -> Client:
    return signed_in(aboard(leg.vessel))


def narrows(leg: Leg, **columns: Any) -> Gate:
    """Narrows on the way that may be passed at up to 1.5 kn, their stream turning at high water of Ostrel."""
    same: dict[str, Any] = {"vessel": leg.vessel, "by": "test", "at": NOW}
    rows = [
        {"from_high_water_s": hour * HOUR, "set_deg": toward, "rate_neaps_mps": kn * KNOT, "rate_springs_mps": kn * KNOT}
        for hour, toward, kn in ROWS
    ]  # fmt: skip
    table = add_stream_table(
        key="race", name="The race", tide_station=TideStation.objects.get(key="ostrel"), neaps_range_m=1.0,
        springs_range_m=4.0, rates_held_beyond=True, rows=rows, **same,
    )  # fmt: skip
    stated: dict[str, Any] = {"most_rate_mps": 1.5 * KNOT, "keeps_hours": False, "stream_table": table, **columns}
    return add_gate(key="the-race", name="The Race", kind="narrows", zone="Europe/Lisbon", **stated, **same)


def page(browser: Client, address: str) -> str:
    answer = browser.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def test_narrows_are_listed_with_what_they_do_now_and_lead_to_their_page(browser: Client, leg: Leg) -> None:
    gate = narrows(leg)

    text = page(browser, "/harbours/")

    assert "On the way" in text
    assert f'href="/gates/{gate.pk}/">The Race</a>' in text
    assert "Narrows: shut, opens" in text or "Narrows: open until" in text
    assert browser.get("/see/gate/the-race/")["Location"] == f"/gates/{gate.pk}/"


def test_the_page_tells_a_week_of_windows_and_of_slack(browser: Client, leg: Leg) -> None:
    gate = narrows(leg)

    told = browser.get(f"/gates/{gate.pk}/")

    rows = told.context["week"]
    high = TideStation.objects.get(key="ostrel").events.filter(high=True, at__date=NOW.date())
    first = high.order_by("at")[0].at
    assert [row.on for row in rows][:2] == ["2027-05-15", "2027-05-16"]
    assert f"{(first.hour + 1) % 24:02d}:{first.minute:02d}" in rows[0].turns  # summer time, an hour ahead of UTC
    assert rows[0].words.startswith("from ") or rows[0].words.startswith("until ")
    text = told.content.decode()
    assert "Slack, the stream turns" in text
    assert "while the stream of The race is at most 1.5 kn" in text
    assert "Change the gate" in text


def test_the_week_is_chosen_by_its_first_day_and_nonsense_is_said(browser: Client, leg: Leg) -> None:
    gate = narrows(leg)

    later = browser.get(f"/gates/{gate.pk}/?from=2027-05-22")
    odd = page(browser, f"/gates/{gate.pk}/?from=soon")

    assert later.context["week"][0].on == "2027-05-22"
    assert (later.context["before"].isoformat(), later.context["after"].isoformat()) == ("2027-05-15", "2027-05-29")
    assert "soon is not a day" in odd


@pytest.mark.parametrize(("columns", "said"), [({"most_rate_mps": None}, "stream"), ({"stream_table": None}, "stream")])
def test_narrows_of_which_something_is_not_known_are_never_open(
    browser: Client, leg: Leg, columns: dict[str, Any], said: str
) -> None:
    gate = narrows(leg, **columns)

    text = page(browser, f"/gates/{gate.pk}/")

    assert '<span class="not-known">Not known</span>: ' in text
    assert said in text
    assert "The Race" in page(browser, "/harbours/")
    assert "open until" not in text


def test_a_gate_of_a_harbour_has_a_page_too_and_no_slack(browser: Client) -> None:
    gate = Gate.objects.get(key="morrowick-lock")

    text = page(browser, f"/gates/{gate.pk}/")

    assert f'href="/harbours/{gate.harbour_id}/"' in text
    assert "Slack" not in text
    assert "last entry" in text


def test_with_none_the_list_teaches_what_belongs_there(browser: Client) -> None:
    Gate.objects.filter(harbour=None).delete()

    assert "Narrows and bridges that no harbour has stand here" in page(browser, "/harbours/")


@pytest.mark.parametrize(("role", "may_change"), [(Role.OWNER, True), (Role.CREW, False), (Role.VIEWER, False)])
def test_everybody_reads_and_only_those_in_command_are_offered_changes(leg: Leg, role: str, may_change: bool) -> None:
    gate, browser = narrows(leg), signed_in(aboard(leg.vessel, role))

    assert ("Change the gate" in page(browser, f"/gates/{gate.pk}/")) is may_change
    assert ("Add a gate on the way" in page(browser, "/harbours/")) is may_change


def test_the_gate_of_another_vessel_is_not_there(leg: Leg) -> None:
    gate, stranger = narrows(leg), signed_in(aboard(a_vessel()))

    assert stranger.get(f"/gates/{gate.pk}/").status_code == 404
    assert "The Race" not in page(stranger, "/harbours/")


def test_the_list_asks_no_more_for_three_gates_on_the_way_than_for_one(browser: Client, leg: Leg) -> None:
    table = narrows(leg).stream_table

    def queries() -> int:
        with CaptureQueriesContext(connection) as counted:
            page(browser, "/harbours/")
        return len(counted)

    few = queries()
    for number in (2, 3):
        add_gate(vessel=leg.vessel, by="test", at=NOW, key=f"race-{number}", name=f"Race {number}", kind="narrows",
                 zone="UTC", stream_table=table, most_rate_mps=1.0, keeps_hours=False)  # fmt: skip

    assert queries() == few <= 22
