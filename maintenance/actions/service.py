"""Booking a service done; the next one follows from it."""

from datetime import date, datetime

from django.db import transaction

from maintenance.models import ServiceDone, ServiceItem
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.version import check
from vessel.errors import BadInput
from vessel.models import DatePrecision


@transaction.atomic
def book_done(
    *,
    service_item_id: int,
    by: By,
    at: datetime,
    today: date,
    on: date | None = None,
    on_precision: str = DatePrecision.DAY,
    engine_hours: float | None = None,
    note: str = "",
) -> ServiceDone:
    """A service was done on a day (or in a month) and at an hour-meter figure; `today` is the date aboard.

    What is left out stays not known. Raises BadInput for a day to come or when neither is given.
    """
    item = ServiceItem.objects.select_related("vessel", "equipment").get(pk=service_item_id)
    if on is not None and on > today:
        raise BadInput(f"{item.code} cannot have been done on {on:%d %B %Y}: that day is still to come.")
    if on is None and engine_hours is None:
        raise BadInput(f"Say when {item.code} was done, by date, by engine hours or both. Nothing was booked.")
    done = ServiceDone(
        service_item=item,
        on=on,
        on_precision=on_precision,
        engine_hours=engine_hours,
        by=token_of(by=by, vessel_id=item.vessel_id),
        note=note.strip(),
        entered_at=at,
    )
    check(done)
    done.save(force_insert=True)
    record(
        vessel=item.vessel,
        what=f"Service {item} done{_when(done)}.",
        by=by,
        at=at,
        noun="service item",
        noun_key=item.code,
        changes={"on": [None, on], "on_precision": [None, on_precision], "engine_hours": [None, engine_hours]},
    )
    return done


def _when(done: ServiceDone) -> str:
    written = "%d %B %Y" if done.on_precision == DatePrecision.DAY else "%B %Y"
    day = f" {done.on:{written}}" if done.on else ""
    hours = f" at {done.engine_hours:g} h" if done.engine_hours is not None else ""
    return day + hours
