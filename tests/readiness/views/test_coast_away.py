"""Gates, harbours, stations and stream tables taken away: never from under what uses them."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from django.test import Client

from readiness.actions.coast import add_gate, add_harbour, add_stream_table, add_tide_station
from readiness.models import Gate, Harbour, Leg, StreamTable, TideStation
from readiness.queries.coast_use import CoastRow, users_of
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.vessel import a_vessel
from tests.factories.worked_example import worked_example
from vessel.models import DueWork, HistoryEntry, Membership, Role, Vessel

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)
KINDS = ("gates", "harbours", "tides", "streams")


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def browser(ines: Membership) -> Client:
    return signed_in(ines)


def unused(vessel: Vessel) -> dict[str, CoastRow]:
    """One row of each kind with its own parts, used by nothing."""
    row = {"from_high_water_s": 0.0, "set_deg": 90.0, "rate_neaps_mps": 0.2, "rate_springs_mps": 0.2}
    return {
        "gates": add_gate(vessel=vessel, by="test", at=NOW, key="race", name="The Race", kind="narrows", zone="UTC"),
        "harbours": add_harbour(
            vessel=vessel, by="test", at=NOW, key="thole", name="Thole Bight", zone="UTC", lat_deg=46.5, lon_deg=-14.0,
            shelter=[(0.0, 90.0)],
        ),
        "tides": add_tide_station(
            vessel=vessel, by="test", at=NOW, key="kettle", name="Kettle", kind="printed table", datum="chart datum",
            events=[(NOW, 4.0, True)],
        ),
        "streams": add_stream_table(
            vessel=vessel, by="test", at=NOW, key="bay", name="The bay", steady=True, rows=[row]
        ),
    }  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_what_nothing_uses_is_taken_away_once_with_a_line_of_history(
    browser: Client, ines: Membership, kind: str
) -> None:
    row = unused(ines.vessel)[kind]
    address, typed = f"/{kind}/{row.pk}/away/", {"version": "1", "once": "a1"}
    asked = browser.get(address).content.decode()

    first, again = browser.post(address, typed), browser.post(address, typed)

    assert "Nothing uses this" in asked
    assert first["Location"] == again["Location"]
    assert not type(row).objects.filter(pk=row.pk).exists()
    told = HistoryEntry.objects.filter(what__endswith=f"taken away: {row.name}.")
    assert told.count() == 1
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").count() == 1


@pytest.mark.parametrize("kind", KINDS)
def test_what_was_changed_meanwhile_is_kept(browser: Client, ines: Membership, kind: str) -> None:
    row = unused(ines.vessel)[kind]
    type(row).objects.filter(pk=row.pk).update(version=2)

    answer = browser.post(f"/{kind}/{row.pk}/away/", {"version": "1", "once": "a1"})

    assert answer.status_code == 422
    assert "was changed by somebody else meanwhile, so it was kept" in answer.content.decode()
    assert type(row).objects.filter(pk=row.pk).exists()


@pytest.fixture
def leg() -> Leg:
    return stored(worked_example(1))


def in_use(kind: str, leg: Leg) -> CoastRow:
    held: dict[str, CoastRow] = {
        "gates": Gate.objects.filter(leg_points__isnull=False)[0],
        "harbours": leg.arrival,
        "tides": TideStation.objects.get(key="ostrel"),
        "streams": StreamTable.objects.get(key="skarn"),
    }
    return held[kind]


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_used_stays_and_its_users_are_named(leg: Leg, kind: str) -> None:
    browser, row = signed_in(aboard(leg.vessel)), in_use(kind, leg)
    address = f"/{kind}/{row.pk}/away/"

    asked = browser.get(address).content.decode()
    answer = browser.post(address, {"version": str(row.version), "once": "a1"})

    users = users_of(row)
    assert users
    assert all(user[1:] in asked for user in users)
    assert "Take it away</button>" not in asked
    assert answer.status_code == 422
    assert f"{row} is still used by {users[0]}" in answer.content.decode()
    assert type(row).objects.filter(pk=row.pk).exists()


def test_a_harbour_that_only_a_gate_waits_at_or_stands_in_is_in_use(ines: Membership) -> None:
    rows = unused(ines.vessel)
    Gate.objects.update(wait_place=rows["harbours"])
    assert users_of(rows["harbours"]) == ["gate The Race"]

    Gate.objects.update(wait_place=None, harbour=rows["harbours"])
    assert users_of(rows["harbours"]) == ["gate The Race"]


def test_a_refuge_of_a_leg_is_in_use(leg: Leg) -> None:
    refuge = leg.refuges.all()[0]

    assert f"leg {leg}" in users_of(refuge)


@pytest.mark.parametrize(
    ("role", "status"), [(Role.OWNER, 200), (Role.SKIPPER, 200), (Role.CREW, 403), (Role.VIEWER, 403)]
)
def test_owner_and_skipper_take_away_and_nobody_else(role: str, status: int) -> None:
    member = aboard(role=role)
    rows, browser = unused(member.vessel), signed_in(member)

    assert {browser.get(f"/{kind}/{rows[kind].pk}/away/").status_code for kind in KINDS} == {status}
    if status == 403:
        assert {browser.post(f"/{kind}/{rows[kind].pk}/away/", {"version": "1"}).status_code for kind in KINDS} == {403}
        assert Harbour.objects.count() == 1


def test_the_coast_of_another_vessel_is_not_there(browser: Client) -> None:
    rows = unused(aboard(a_vessel()).vessel)

    for kind in KINDS:
        assert browser.get(f"/{kind}/{rows[kind].pk}/away/").status_code == 404
        assert browser.post(f"/{kind}/{rows[kind].pk}/away/", {"version": "1", "once": "a1"}).status_code == 404
        assert type(rows[kind]).objects.filter(pk=rows[kind].pk).exists()
