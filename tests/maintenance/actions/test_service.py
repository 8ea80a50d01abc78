"""Services booked done."""

from datetime import date, datetime, timedelta
from typing import Any

import pytest

from maintenance.actions.service import book_done
from maintenance.models import ServiceDone
from tests.factories.maintenance import a_service
from vessel.errors import BadInput
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db
TODAY = date(2026, 7, 10)


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"on": TODAY, "engine_hours": 3420.0}, "Service SV-01 Engine oil done 10 July 2026 at 3420 h."),
        ({"on": date(2026, 5, 1), "on_precision": "month"}, "Service SV-01 Engine oil done May 2026."),
        ({"engine_hours": 3420.5}, "Service SV-01 Engine oil done at 3420.5 h."),
    ],
)
def test_a_service_is_booked_and_told(at: datetime, fields: dict[str, Any], told: str) -> None:
    item = a_service(code="SV-01")

    book_done(service_item_id=item.pk, by="owner-1", at=at, today=TODAY, **fields)

    done = ServiceDone.objects.get()
    assert (done.on, done.engine_hours, done.entered_at) == (fields.get("on"), fields.get("engine_hours"), at)
    assert history_page(item.vessel_id)[0].what == told


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"on": TODAY + timedelta(1)}, "that day is still to come"),
        ({}, "Say when SV-01 was done"),
        ({"engine_hours": -1.0}, "Engine hours cannot be below zero"),
    ],
)
def test_what_cannot_have_been_is_refused(at: datetime, fields: dict[str, Any], sentence: str) -> None:
    item = a_service(code="SV-01")

    with pytest.raises(BadInput, match=sentence):
        book_done(service_item_id=item.pk, by="owner-1", at=at, today=TODAY, **fields)

    assert not ServiceDone.objects.exists()
    assert not history_page(item.vessel_id)
