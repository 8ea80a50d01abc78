"""The form of a waiver asks for a day only where its rule lets one wait for it."""

from datetime import UTC, datetime

import pytest
from django.http import QueryDict

from readiness.forms.decision import WaiverForm
from readiness.models import Leg
from tests.factories.readiness import bare_leg

pytestmark = pytest.mark.django_db


@pytest.fixture
def leg() -> Leg:
    return bare_leg()


def typed(leg: Leg, more: str = "", *, until_date: bool) -> WaiverForm:
    data = QueryDict(f"rule=engine_service&cause=service:S-1&reason=a&instead=b{more}")
    return WaiverForm(data, leg=leg, until_date=until_date)


def test_a_waiver_for_one_leg_has_no_day(leg: Leg) -> None:
    form = typed(leg, until_date=False)

    assert form.is_valid()
    assert "until" not in form.cleaned_data


def test_one_until_a_day_must_say_which(leg: Leg) -> None:
    form = typed(leg, until_date=True)

    assert "until" in form.errors


def test_its_day_is_by_the_harbours_clock(leg: Leg) -> None:
    form = typed(leg, "&until=2027-06-01T12:00", until_date=True)

    assert form.is_valid()
    assert form.cleaned_data["until"] == datetime(2027, 6, 1, 12, 0, tzinfo=UTC)
