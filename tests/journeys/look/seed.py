"""Fills a fresh data folder with a boat, her owner and a defect that is watched: python -m tests.journeys.look.seed"""

import os
from datetime import UTC, datetime, timedelta

import django

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()

from django.contrib.auth.models import User

from maintenance.actions.defect import report_defect
from maintenance.actions.template import load_template
from maintenance.models import Job
from tests.journeys.look.password import PASSWORD
from tests.maintenance.views.photo import a_jpeg
from vessel.actions.series import add_reading
from vessel.models import Equipment, Membership, Role, Vessel

INTERVALS = 10


def seed() -> None:
    now = datetime.now(UTC)
    owner = User.objects.create_user("ines", "ines@boat.test", PASSWORD)
    vessel = Vessel.objects.create(
        name="Tallow Wren", home_port="Ostrel Haven", home_zone="Europe/Lisbon", loa_m=12.2,
        next_haul_out_on=(now + timedelta(days=140)).date(),
    )  # fmt: skip
    Membership.objects.create(user=owner, vessel=vessel, role=Role.OWNER)
    load_template(vessel=vessel, by=owner, at=now - timedelta(days=200))
    watched(vessel, owner)
    tiller = Equipment.objects.get(vessel=vessel, code="ST-05")
    report_defect(vessel=vessel, title="Emergency tiller head loose on its worn pin", by=owner, at=now,
                  equipment=tiller, effect="degrades", limit_text="1.43 degrees of play", photo=a_jpeg())  # fmt: skip
    report_defect(vessel=vessel, title="Forward bilge pump slow", by=owner, at=now)


def watched(vessel: Vessel, owner: User) -> None:
    """An oil cooler that weeps, with the hour meter, over two months."""
    now = datetime.now(UTC)
    meter = vessel.series.create(name="Hour meter", kind="engine_hours", unit="h")
    oil = vessel.series.create(
        name="Oil added", kind="consumable_added", unit="l", limit=0.06, limit_outcome="condition"
    )
    for step in range(INTERVALS):
        taken, hours = now - timedelta(days=6 * (INTERVALS - step)), 4130 + 8 * step
        add_reading(series_id=meter.pk, typed=f"{hours}", by=owner, at=taken)
        bent = 0.002 * (-1) ** step
        amount = 8 * (0.028 + 0.002 * step + bent)
        add_reading(series_id=oil.pk, typed=f"{amount:.3f} l", by=owner, at=taken, engine_hours=hours)
    defect = report_defect(vessel=vessel, title="Oil cooler end seals weep", by=owner, at=now - timedelta(days=61),
                           effect="none", series=oil, may_sail_if="while 2 L of oil are aboard.")  # fmt: skip
    Job.objects.create(vessel=vessel, number=1, title="New end seals", defect=defect, status="planned")


if __name__ == "__main__":
    seed()
