"""What must always be true of a leg, its way, its crew and what was said of it."""

from datetime import timedelta
from typing import Any

import pytest

from readiness.models import Gate, KeeperPromise, Leg, LegCrew, LegPoint, LegSegment, PositionReport
from tests.readiness.models.conftest import AT, Refused
from vessel.models import Person

LATER = AT + timedelta(hours=8)


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"key": ""}, "leg_key_is_not_empty"),
        ({"name": ""}, "leg_name_is_not_empty"),
        ({"status": "perhaps"}, "leg_status_is_a_known_word"),
        ({"speed_mps": 0.0}, "leg_speed_mps_is_above_zero"),
        ({"running_on_s": -1.0}, "leg_running_on_s_is_not_below_zero"),
        ({"overdue_at": AT}, "leg_planned_at_before_overdue_at"),
        ({"status": "under way"}, "leg_under_way_has_departed"),
        ({"departed_at": AT}, "leg_planned_has_not_departed"),
        ({"status": "arrived", "departed_at": AT}, "leg_is_over_exactly_when_it_has_ended"),
        ({"ended_at": LATER}, "leg_is_over_exactly_when_it_has_ended"),
        ({"status": "arrived", "departed_at": LATER, "ended_at": AT}, "leg_departed_at_before_ended_at"),
        ({"contact_told_at": AT}, "leg_contact_told_is_a_named_person"),
    ],
)
def test_a_leg_that_breaks_a_rule_is_refused(leg: Leg, refused: Refused, changes: dict[str, Any], rule: str) -> None:
    for name, value in changes.items():
        setattr(leg, name, value)

    refused(leg, rule)


@pytest.mark.parametrize(
    "changes",
    [
        {"status": "under way", "departed_at": AT},
        {"status": "arrived", "departed_at": AT, "ended_at": LATER},
        {"status": "turned back", "departed_at": AT, "ended_at": LATER},
        {"status": "called off", "ended_at": AT},
        {"contact_name": "Ruan Ash", "contact_told_at": AT, "overdue_at": LATER},
    ],
)
def test_a_leg_that_keeps_the_rules_is_kept(leg: Leg, changes: dict[str, Any]) -> None:
    for name, value in changes.items():
        setattr(leg, name, value)

    leg.save()

    assert all(getattr(Leg.objects.get(), name) == value for name, value in changes.items())


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"number": 0}, "leg_point_number_is_above_zero"),
        ({"name": ""}, "leg_point_name_is_not_empty"),
        ({"lat_deg": 91.0}, "leg_point_lat_deg_is_within_bounds"),
        ({"lon_deg": -181.0}, "leg_point_lon_deg_is_within_bounds"),
    ],
)
def test_a_point_that_breaks_a_rule_is_refused(leg: Leg, refused: Refused, changes: dict[str, Any], rule: str) -> None:
    whole: dict[str, Any] = {"number": 1, "name": "Ostrel Haven", "lat_deg": 46.5, "lon_deg": -15.0, **changes}

    refused(LegPoint(leg=leg, **whole), rule)


def test_points_and_segments_are_numbered_once(leg: Leg, refused: Refused) -> None:
    leg.points.create(number=1, name="Here", lat_deg=46.5, lon_deg=-15.0)
    leg.segments.create(number=1, name="On")

    refused(LegPoint(leg=leg, number=1, name="There", lat_deg=46.5, lon_deg=-14.0), "UNIQUE")
    refused(LegSegment(leg=leg, number=1, name="On again"), "UNIQUE")


def test_a_segment_is_a_rhumb_line_or_the_shortest_one(leg: Leg, refused: Refused) -> None:
    refused(LegSegment(leg=leg, number=1, name="On", kind="curve"), "leg_segment_kind_is_a_known_word")


def test_a_leg_has_one_skipper_and_each_person_once(leg: Leg, refused: Refused) -> None:
    ines, tam = (Person.objects.create(vessel=leg.vessel, name=name, token=name.lower()) for name in ("Ines", "Tam"))
    LegCrew.objects.create(leg=leg, person=ines, skipper=True)

    refused(LegCrew(leg=leg, person=tam, skipper=True), "UNIQUE")
    refused(LegCrew(leg=leg, person=ines), "UNIQUE")
    LegCrew.objects.create(leg=leg, person=tam)


def test_a_person_who_is_erased_leaves_the_crew(leg: Leg) -> None:
    ines = Person.objects.create(vessel=leg.vessel, name="Ines", token="hand-1")
    LegCrew.objects.create(leg=leg, person=ines)

    ines.delete()

    assert not leg.crew_rows.exists()


def test_a_keepers_answer_carries_its_time_and_is_there_once(leg: Leg, refused: Refused) -> None:
    gate = Gate.objects.create(vessel=leg.vessel, harbour=leg.arrival, key="lock", name="Lock", kind="lock")

    refused(KeeperPromise(leg=leg, gate=gate, confirmed=True), "keeper_promise_answer_carries_its_time")
    KeeperPromise.objects.create(leg=leg, gate=gate, confirmed=False, at=AT)
    refused(KeeperPromise(leg=leg, gate=gate), "UNIQUE")


def test_a_position_report_is_a_place_and_names_who_gave_it(leg: Leg, refused: Refused) -> None:
    refused(PositionReport(leg=leg, at=AT, lat_deg=91.0, lon_deg=0.0, by="x"), "lat_deg_is_within_bounds")
    refused(PositionReport(leg=leg, at=AT, lat_deg=46.0, lon_deg=0.0), "position_report_by_is_not_empty")
