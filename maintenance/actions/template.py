"""The whole starting model of a vessel: equipment, functions and the service plan."""

from datetime import datetime
from pathlib import Path

from django.db import transaction

from maintenance.models import ServiceItem
from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.template import load_equipment_and_functions, rows_of
from vessel.models import Equipment, Vessel

SERVICES = Path(__file__).resolve().parent.parent / "template" / "services.csv"
SOURCE = "common practice; the maker's book overrules it"


@transaction.atomic
def load_template(*, vessel: Vessel, by: By, at: datetime) -> dict[str, int]:
    """Equipment, functions and services in one go; how many of each. Refused when she has equipment already."""
    loaded = load_equipment_and_functions(vessel=vessel, by=by, at=at)
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel)}
    services = ServiceItem.objects.bulk_create(_service(vessel, items, line) for line in rows_of(SERVICES))
    what = f"The starting service plan was loaded: {len(services)} items, none of them booked as done."
    record(vessel=vessel, what=what, by=by, at=at, noun="vessel", noun_key=vessel.name)
    return {**loaded._asdict(), "services": len(services)}


def _service(vessel: Vessel, items: dict[str, Equipment], line: dict[str, str]) -> ServiceItem:
    return ServiceItem(
        vessel=vessel,
        code=line["code"],
        item=line["item"],
        equipment=items[line["equipment"]],
        every_hours=float(line["every_hours"]) if line["every_hours"] else None,
        every_months=int(line["every_months"]) if line["every_months"] else None,
        tolerance_pct=float(line["tolerance_pct"]),
        consumables=line["consumables"],
        access_set=line["access_set"],
        where=line["where"],
        engine_state=line["engine_state"],
        minutes=float(line["minutes"]),
        skill=line["skill"],
        source=SOURCE,
    )
