"""Planning a leg, changing it, following it under way."""

from datetime import timedelta
from typing import Any

import pytest

from readiness.actions.coast import add_gate, add_harbour
from readiness.actions.leg import (
    change_crew,
    change_leg,
    change_refuges,
    change_way,
    depart,
    end_leg,
    note_keeper,
    plan_leg,
    report_position,
)
from readiness.models import Harbour, KeeperPromise, Leg, LegStatus
from tests.readiness.models.conftest import AT
from vessel.actions.person import add_person
from vessel.actions.version import ChangedMeanwhile
from vessel.errors import BadInput, Refused
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
BY: dict[str, Any] = {"by": "owner-1", "at": AT}
POINTS = [{"name": "Out", "lat_deg": 46.5, "lon_deg": -15.0}, {"name": "In", "lat_deg": 46.5, "lon_deg": -14.5}]


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


@pytest.fixture
def harbour(vessel: Vessel) -> Harbour:
    """A harbour."""
    return add_harbour(vessel=vessel, key="ostrel", name="Ostrel Haven", zone="UTC", lat_deg=46.5, lon_deg=-15.0, **BY)


def planned(vessel: Vessel, harbour: Harbour, **more: Any) -> Leg:
    """A leg there and back, planned for AT."""
    whole: dict[str, Any] = {
        "name": "There and back", "points": POINTS, "planned_at": AT, "departure": harbour, "arrival": harbour,
    }  # fmt: skip
    return plan_leg(vessel=vessel, **BY, **{**whole, **more})


@pytest.fixture
def leg(vessel: Vessel, harbour: Harbour) -> Leg:
    """That leg."""
    return planned(vessel, harbour)


def test_a_leg_is_planned_with_way_refuges_and_crew(vessel: Vessel, harbour: Harbour) -> None:
    ines, tam = (add_person(vessel=vessel, name=name, **BY) for name in ("Ines Roke", "Tam Ferrow"))

    leg = planned(vessel, harbour, segments=[{"exposed": False}], refuges=[harbour], crew=[ines, tam])

    assert list(leg.points.values_list("number", "name")) == [(1, "Out"), (2, "In")]
    assert list(leg.segments.values_list("number", "name", "exposed")) == [(1, "Out to In", False)]
    assert list(leg.refuges.all()) == [harbour]
    assert leg.crew_rows.get(skipper=True).person == ines
    assert leg.key == "there-and-back"


def test_the_second_leg_of_a_name_gets_a_key_of_its_own(vessel: Vessel, harbour: Harbour, leg: Leg) -> None:
    assert [planned(vessel, harbour).key for _ in range(2)] == ["there-and-back-2", "there-and-back-3"]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"points": POINTS[:1]}, "at least two points"),
        ({"segments": [{}, {}]}, "at most one segment between each two"),
        ({"points": [POINTS[0], {**POINTS[1], "lat_deg": 95.0}]}, "Not saved"),
        ({"points": [POINTS[0], {**POINTS[0], "name": "Here again"}]}, "so it leads nowhere"),
        ({"speed_mps": 0.0}, "Not saved"),
    ],
)
def test_a_leg_that_cannot_be_is_not_planned(
    vessel: Vessel, harbour: Harbour, more: dict[str, Any], words: str
) -> None:
    before = HistoryEntry.objects.count()

    with pytest.raises(BadInput, match=words):
        planned(vessel, harbour, **more)

    assert not Leg.objects.exists()
    assert HistoryEntry.objects.count() == before


def test_people_and_places_of_another_vessel_are_refused(vessel: Vessel, harbour: Harbour) -> None:
    other = Vessel.objects.create(name="Another")
    stranger = add_person(vessel=other, name="Jory Pask", **BY)

    with pytest.raises(BadInput, match="another vessel"):
        planned(vessel, harbour, crew=[stranger])
    with pytest.raises(BadInput, match="another vessel"):
        planned(other, harbour)


def test_a_change_is_told_and_a_stale_one_refused(leg: Leg) -> None:
    later = AT + timedelta(hours=1)

    changed = change_leg(leg_id=leg.pk, seen_version=1, planned_at=later, **BY)

    assert Leg.objects.get().planned_at == later
    assert changed.version == 2
    assert HistoryEntry.objects.latest("number").what == "Leg There and back changed: planned departure."
    with pytest.raises(ChangedMeanwhile):
        change_leg(leg_id=leg.pk, seen_version=1, planned_at=AT, **BY)


def test_names_and_addresses_ashore_stay_out_of_the_open_history(leg: Leg) -> None:
    change_leg(leg_id=leg.pk, seen_version=1, contact_name="Ruan Ash", contact_details="by telephone", **BY)

    told = HistoryEntry.objects.latest("number")
    assert "Ruan" not in f"{told.what}{told.changes}"
    assert told.private_hash


def test_what_has_a_deed_of_its_own_is_not_changed_by_hand(leg: Leg) -> None:
    with pytest.raises(BadInput, match="own deed"):
        change_leg(leg_id=leg.pk, seen_version=1, status="arrived", **BY)


def test_way_crew_and_refuges_are_changed_as_a_whole(vessel: Vessel, harbour: Harbour, leg: Leg) -> None:
    tam = add_person(vessel=vessel, name="Tam Ferrow", **BY)

    change_way(leg_id=leg.pk, seen_version=1, points=[*POINTS, {**POINTS[0], "name": "On"}], **BY)
    change_crew(leg_id=leg.pk, seen_version=2, crew=[tam], **BY)
    change_refuges(leg_id=leg.pk, seen_version=3, refuges=[harbour], **BY)

    assert [point.name for point in leg.points.all()] == ["Out", "In", "On"]
    assert leg.crew_rows.get().person == tam
    assert Leg.objects.get().version == 4
    told = " ".join(HistoryEntry.objects.values_list("what", flat=True))
    assert "1 to sail" in told
    assert "Tam" not in told


@pytest.mark.parametrize("deed", [change_way, change_crew, change_refuges])
def test_a_stale_change_of_a_part_is_refused_and_nothing_changed(leg: Leg, deed: Any) -> None:
    part: dict[Any, dict[str, Any]] = {
        change_way: {"points": [*POINTS, POINTS[0]]}, change_crew: {"crew": []}, change_refuges: {"refuges": []},
    }  # fmt: skip
    change_leg(leg_id=leg.pk, seen_version=1, name="Renamed", **BY)

    with pytest.raises(ChangedMeanwhile):
        deed(leg_id=leg.pk, seen_version=1, **part[deed], **BY)

    assert leg.points.count() == 2


def test_under_way_she_departs_reports_and_arrives(leg: Leg) -> None:
    depart(leg_id=leg.pk, **BY)
    report_position(leg_id=leg.pk, lat_deg=46.5, lon_deg=-14.7, text="All well", **BY)
    ended = end_leg(
        leg_id=leg.pk, status=LegStatus.ARRIVED, by="owner-1", at=AT + timedelta(hours=7), outcome="A little wet"
    )

    assert (ended.status, ended.outcome) == ("arrived", "A little wet")
    assert leg.position_reports.get().text == "All well"
    assert list(HistoryEntry.objects.order_by("-number").values_list("what", flat=True)[:2]) == [
        "There and back: arrived.",
        "There and back: departed.",
    ]


def test_a_deed_out_of_turn_is_refused(leg: Leg) -> None:
    with pytest.raises(Refused, match="planned, not under way"):
        report_position(leg_id=leg.pk, lat_deg=46.5, lon_deg=-14.7, **BY)
    with pytest.raises(Refused, match="cannot be arrived"):
        end_leg(leg_id=leg.pk, status=LegStatus.ARRIVED, **BY)
    end_leg(leg_id=leg.pk, status=LegStatus.CALLED_OFF, **BY)
    with pytest.raises(Refused, match="cannot leave"):
        depart(leg_id=leg.pk, **BY)
    with pytest.raises(Refused, match="not changed any more"):
        change_leg(leg_id=leg.pk, seen_version=2, name="Again", **BY)


def test_a_keeper_answers_and_may_answer_otherwise(vessel: Vessel, harbour: Harbour, leg: Leg) -> None:
    lock = add_gate(vessel=vessel, harbour=harbour, key="lock", name="Lock", kind="lock", **BY)

    note_keeper(leg_id=leg.pk, gate=lock, confirmed=True, keeper="Wat Sorrel", **BY)
    note_keeper(leg_id=leg.pk, gate=lock, confirmed=False, keeper="Wat Sorrel", **BY)

    assert KeeperPromise.objects.get().confirmed is False
    assert "refused" in HistoryEntry.objects.latest("number").what
