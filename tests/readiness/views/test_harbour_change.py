from typing import Any

import pytest
from django.test import Client

from readiness.models import Gate, Harbour
from tests.factories.aboard import aboard, signed_in
from tests.factories.vessel import a_vessel
from vessel.models import DueWork, HistoryEntry, Membership, Role

pytestmark = pytest.mark.django_db
TYPED = {
    "name": "Ledrick Quay", "lat_deg": "46 33 N", "lon_deg": "14 33.4 W", "zone": "Europe/Lisbon", "version": "0",
    "shelter": "N to E", "night_price": "18.50", "once": "a1",
}  # fmt: skip


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def browser(ines: Membership) -> Client:
    return signed_in(ines)


def a_harbour(member: Membership, **columns: Any) -> Harbour:
    stated = {
        "key": "thole",
        "name": "Thole Bight",
        "zone": "Europe/Lisbon",
        "lat_deg": 46.5,
        "lon_deg": -14.0,
        **columns,
    }
    return Harbour.objects.create(vessel=member.vessel, **stated)


def test_a_harbour_is_written_down_with_its_shelter(browser: Client, ines: Membership) -> None:
    answer = browser.post("/harbours/add/", TYPED)

    row = Harbour.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, f"/harbours/{row.pk}/")
    assert (row.vessel, row.key, str(row.night_price), row.charted_m) == (ines.vessel, "ledrick-quay", "18.50", None)
    assert [(one.from_deg, one.to_deg) for one in row.shelter_sectors.all()] == [(0.0, 90.0)]
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").count() == 1


def test_the_same_form_sent_again_writes_one_harbour(browser: Client) -> None:
    first, again = browser.post("/harbours/add/", TYPED), browser.post("/harbours/add/", TYPED)

    assert first["Location"] == again["Location"]
    assert Harbour.objects.count() == 1


def test_a_second_harbour_of_the_same_name_has_a_key_of_its_own(browser: Client) -> None:
    for once in ("a1", "a2", "a3"):
        browser.post("/harbours/add/", {**TYPED, "once": once})

    assert sorted(Harbour.objects.values_list("key", flat=True)) == ["ledrick-quay", "ledrick-quay-2", "ledrick-quay-3"]


def test_a_mistake_is_told_at_its_field_and_nothing_is_written(browser: Client) -> None:
    answer = browser.post("/harbours/add/", {**TYPED, "lat_deg": "14 W"})

    assert answer.status_code == 422
    assert "ends in N or S" in answer.content.decode()
    assert Harbour.objects.count() == 0


def test_a_harbour_is_changed_and_history_says_so(browser: Client, ines: Membership) -> None:
    row = a_harbour(ines, lit=True)

    answer = browser.post(f"/harbours/{row.pk}/change/", {**TYPED, "version": "1", "shelter": "all round", "lit": ""})

    row.refresh_from_db()
    assert answer.status_code == 302
    assert (row.name, row.lit, row.version) == ("Ledrick Quay", None, 2)
    assert [(one.from_deg, one.to_deg) for one in row.shelter_sectors.all()] == [(0.0, 360.0)]
    told = list(HistoryEntry.objects.values_list("what", flat=True))
    assert any("Thole Bight changed" in line for line in told)
    assert "Shelter of Ledrick Quay changed." in told


def test_two_people_do_not_overwrite_each_other(browser: Client, ines: Membership) -> None:
    row = a_harbour(ines)
    Harbour.objects.filter(pk=row.pk).update(version=2, name="Theirs")

    answer = browser.post(f"/harbours/{row.pk}/change/", {**TYPED, "version": "1"})

    row.refresh_from_db()
    assert answer.status_code == 422
    assert "was changed by somebody else" in answer.content.decode()
    assert (row.name, row.shelter_sectors.count()) == ("Theirs", 0)


def test_a_gate_is_added_and_changed(browser: Client, ines: Membership) -> None:
    row = a_harbour(ines)

    browser.post(
        f"/harbours/{row.pk}/gates/add/", {"name": "Thole sill", "kind": "sill", "level_m": "1.6", "version": "0"}
    )
    gate = Gate.objects.get()
    answer = browser.post(
        f"/gates/{gate.pk}/change/", {"name": "Thole sill", "kind": "sill", "level_m": "1.8 m", "version": "1"}
    )

    gate.refresh_from_db()
    assert (answer.status_code, answer["Location"]) == (302, f"/harbours/{row.pk}/")
    assert (gate.harbour, gate.key, gate.level_m, gate.keeps_hours) == (row, "thole-sill", 1.8, None)


def test_a_gate_on_the_way_is_added_with_a_clock_of_its_own_shown_and_changed(
    browser: Client, ines: Membership
) -> None:
    typed = {"name": "Skarn Narrows", "kind": "narrows", "zone": "Europe/Lisbon", "version": "0", "once": "a1"}

    added = browser.post("/gates/add/", typed)
    again = browser.post("/gates/add/", typed)
    gate = Gate.objects.get()
    changed = browser.post(f"/gates/{gate.pk}/change/", {**typed, "zone": "Europe/Oslo", "version": "1", "once": "a2"})

    gate.refresh_from_db()
    assert added["Location"] == again["Location"] == changed["Location"] == f"/gates/{gate.pk}/"
    assert (gate.harbour, gate.zone, gate.key, gate.vessel) == (None, "Europe/Oslo", "skarn-narrows", ines.vessel)
    assert "Gate written down: Skarn Narrows." in HistoryEntry.objects.values_list("what", flat=True)


def test_a_gate_on_the_way_needs_a_clock(browser: Client) -> None:
    answer = browser.post("/gates/add/", {"name": "Skarn Narrows", "kind": "narrows", "version": "0"})

    assert answer.status_code == 422
    assert Gate.objects.count() == 0


def test_a_gate_on_the_way_changed_meanwhile_is_kept(browser: Client, ines: Membership) -> None:
    gate = Gate.objects.create(vessel=ines.vessel, zone="UTC", key="skarn", name="Theirs", kind="narrows", version=2)

    answer = browser.post(
        f"/gates/{gate.pk}/change/", {"name": "Mine", "kind": "narrows", "zone": "Europe/Oslo", "version": "1"}
    )

    gate.refresh_from_db()
    assert answer.status_code == 422
    assert (gate.name, gate.zone) == ("Theirs", "UTC")


def test_a_broken_rule_of_the_gate_is_told_in_words(browser: Client, ines: Membership) -> None:
    row = a_harbour(ines)

    answer = browser.post(
        f"/harbours/{row.pk}/gates/add/",
        {
            "name": "Lock",
            "kind": "lock",
            "keeps_hours": "no",
            "opens_local": "08:00",
            "closes_local": "20:00",
            "version": "0",
        },
    )

    assert answer.status_code == 422
    assert "Not saved:" in answer.content.decode()
    assert Gate.objects.count() == 0


@pytest.mark.parametrize(
    ("role", "status"), [(Role.OWNER, 200), (Role.SKIPPER, 200), (Role.CREW, 403), (Role.VIEWER, 403)]
)
def test_owner_and_skipper_write_down_the_coast_and_nobody_else(role: str, status: int) -> None:
    member = aboard(role=role)
    row = a_harbour(member)
    gate = Gate.objects.create(vessel=member.vessel, harbour=row, key="sill", name="Sill", kind="sill")
    browser = signed_in(member)

    pages = (
        "/harbours/add/",
        f"/harbours/{row.pk}/change/",
        f"/harbours/{row.pk}/gates/add/",
        f"/gates/{gate.pk}/change/",
        "/gates/add/",
    )
    assert {browser.get(page).status_code for page in pages} == {status}


def test_the_coast_of_another_vessel_is_not_there(browser: Client) -> None:
    stranger = aboard(a_vessel())
    row = a_harbour(stranger)
    gate = Gate.objects.create(vessel=stranger.vessel, harbour=row, key="sill", name="Sill", kind="sill")

    pages = (f"/harbours/{row.pk}/change/", f"/harbours/{row.pk}/gates/add/", f"/gates/{gate.pk}/change/")
    assert {browser.post(page, TYPED).status_code for page in pages} == {404}
