"""Home and the leg's page while she is under way and once she is in: no verdict to leave, but what counts now."""

from collections.abc import Iterator
from datetime import timedelta

import pytest
import time_machine
from django.test import Client

from readiness.actions.leg import depart, end_leg
from readiness.models import Leg, LegStatus
from tests.factories.aboard import aboard, signed_in
from tests.readiness.views.asked import NOW, page
from vessel.models import Role

pytestmark = pytest.mark.django_db


@pytest.fixture
def begun(leg: Leg) -> Iterator[Leg]:
    """She let go as planned, at 07:30 by the harbour's clock, and it is half past nine."""
    depart(leg_id=leg.pk, by="tests", at=leg.planned_at)
    with time_machine.travel(leg.planned_at + timedelta(hours=2), tick=False):
        yield leg


@pytest.mark.parametrize("address", ["/", "/legs/{pk}/"])
def test_under_way_it_tells_when_she_is_due_and_who_calls_for_help(owner: Client, begun: Leg, address: str) -> None:
    text = page(owner, address.format(pk=begun.pk))

    assert "Let go <b>Sat 15 May 07:30 (06:30 UTC)</b>." in text
    assert "By plan in Sat 15 May 14:22 (13:22 UTC), late 15:37." in text
    assert "Overdue at <b>Sat 15 May 17:00 (16:00 UTC)</b>: then Ruan Ash calls for help." in text
    assert f'href="/legs/{begun.pk}/under-way/">Where she is, or in again</a>' in text
    assert "When may we go?" not in text
    assert "Go if" not in text


def test_past_the_overdue_time_she_is_overdue(owner: Client, begun: Leg) -> None:
    overdue_at = begun.overdue_at
    assert overdue_at is not None
    with time_machine.travel(overdue_at, tick=False):
        late = page(owner, "/")
    with time_machine.travel(overdue_at - timedelta(seconds=1), tick=False):
        before = page(owner, "/")

    assert "She is overdue since Sat 15 May 17:00" in late
    assert "She is overdue" not in before


def test_how_to_reach_the_contact_is_seen_by_owner_and_skipper_only(begun: Leg) -> None:
    Leg.objects.filter(pk=begun.pk).update(contact_details="Telephone 0000")

    assert "Telephone 0000" in page(signed_in(aboard(begun.vessel)), "/")
    assert "Telephone 0000" not in page(signed_in(aboard(begun.vessel, Role.CREW)), "/")


def test_a_leg_whose_speed_is_not_known_is_due_when_nobody_knows(owner: Client, begun: Leg) -> None:
    Leg.objects.filter(pk=begun.pk).update(speed_mps=None)

    assert 'When she is due is <span class="not-known">not known</span>' in page(owner, "/")


def test_once_she_is_in_home_leads_to_a_new_leg(owner: Client, begun: Leg) -> None:
    end_leg(leg_id=begun.pk, status=LegStatus.ARRIVED, by="tests", at=NOW + timedelta(hours=9))

    home, leg = page(owner, "/"), page(owner, f"/legs/{begun.pk}/")

    assert f'Arrived: <a href="/legs/{begun.pk}/">' in home
    assert all('href="/legs/new/">Plan a new leg</a>' in text for text in (home, leg))
    assert "Arrived Sat 15 May 15:00 (14:00 UTC)." in leg
    assert "When may we go?" not in leg


def test_once_she_is_in_her_page_names_the_next_leg(owner: Client, begun: Leg) -> None:
    end_leg(leg_id=begun.pk, status=LegStatus.ARRIVED, by="tests", at=NOW + timedelta(hours=9))
    later = Leg.objects.create(
        vessel=begun.vessel, key="on", name="On again", departure=begun.arrival, arrival=begun.departure,
        planned_at=NOW + timedelta(days=2),
    )  # fmt: skip

    assert f'Next leg: <a href="/legs/{later.pk}/">On again</a>' in page(owner, f"/legs/{begun.pk}/")


def test_crew_see_it_and_plan_nothing(crew: Client, begun: Leg) -> None:
    end_leg(leg_id=begun.pk, status=LegStatus.ARRIVED, by="tests", at=NOW + timedelta(hours=9))

    assert "Plan a new leg" not in page(crew, f"/legs/{begun.pk}/")
    assert "Plan a new leg" not in page(crew, "/")


@pytest.mark.parametrize("address", ["/", "/legs/{pk}/"])
@pytest.mark.parametrize(("after_s", "said"), [(0, False), (1, True)])
def test_a_planned_time_that_has_gone_by_is_said(
    owner: Client, leg: Leg, address: str, after_s: int, said: bool
) -> None:
    with time_machine.travel(leg.planned_at + timedelta(seconds=after_s), tick=False):
        text = page(owner, address.format(pk=leg.pk))

    assert ("Planned for Sat 15 May 07:30 (06:30 UTC), which has gone by." in text) == said
    assert ("Shown is the next departure." in text) == said
