"""A vessel with something in every chapter, and her handover taken apart and put together again."""

import io
import zipfile
from collections.abc import Mapping
from datetime import datetime, timedelta
from decimal import Decimal

from maintenance.actions.defect import mend_defect, report_defect
from maintenance.actions.job import add_job
from maintenance.actions.service import book_done
from tests.factories.maintenance import a_service, a_spare
from tests.factories.vessel import SOUND, a_series, a_vessel, an_account, an_item
from vessel.actions.equipment import prove_equipment
from vessel.actions.log_entry import add_entry
from vessel.actions.person import add_person, tell_rest
from vessel.actions.series import add_reading
from vessel.models import Membership, SpeedPoint, Tank, Vessel

SECRETS = ("Ines", "Odile", "bad knee", "Seven Stars", "812.75", "7.25")


def a_lived_in_vessel(at: datetime) -> Vessel:
    """Something in every chapter; what must not leave is in SECRETS."""
    vessel = a_vessel(loa_m=12.2, draught_m=1.25)
    owner = an_account(username="Ines Roke")
    Membership.objects.create(user=owner, vessel=vessel, role="owner")
    SOUND[SpeedPoint](vessel=vessel)
    SOUND[Tank](vessel=vessel)
    item = an_item(vessel, code="EN-09", name="Oil system")
    series = a_series(vessel, name="Oil added", equipment=item)
    a_spare(vessel, quantity=2.0)
    service = a_service(vessel, code="SV-01")
    a_service(vessel, code="SV-02")

    mended = report_defect(vessel=vessel, title="Pump weeps", by=owner, at=at)
    mend_defect(defect_id=mended.pk, seen_version=1, proof="New gland.", by=owner, at=at)
    report_defect(vessel=vessel, title="=HYPERLINK(1)<script>", by=owner, at=at, equipment=item, effect="degrades")
    add_job(
        vessel=vessel,
        title="Renew the seals",
        by=owner,
        at=at,
        cost=Decimal("812.75"),
        currency="EUR",
        takes_out=[item],
    )
    book_done(service_item_id=service.pk, by=owner, at=at, today=at.date(), on=at.date(), engine_hours=3420.0)
    prove_equipment(equipment_id=item.pk, text="Dry.", by=owner, at=at)
    add_reading(series_id=series.pk, typed="0.6 l", by=owner, at=at, engine_hours=3420.0)
    add_entry(vessel=vessel, kind="note", by=owner, at=at, text="Odile at the Seven Stars")
    add_entry(vessel=vessel, kind="helm_check", by=owner, at=at + timedelta(minutes=1), text="Both ways.")
    person = add_person(vessel=vessel, by=owner, at=at, name="Odile Marr", fit_note="bad knee")
    tell_rest(person_id=person.pk, by=owner, at=at, rest_24_h=7.25, longest_unbroken_h=7.25)
    return vessel


def unpacked(data: bytes) -> dict[str, bytes]:
    """The files of a handover by their names in it."""
    with zipfile.ZipFile(io.BytesIO(data)) as bag:
        return {name.removeprefix("handover/"): bag.read(name) for name in bag.namelist()}


def packed(files: Mapping[str, bytes]) -> io.BytesIO:
    """The files as a handover again."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as bag:
        for name, data in files.items():
            bag.writestr(f"handover/{name}", data)
    return out
