"""A boat with a long past: 500 pieces of equipment, 5,000 defects, 100,000 log lines, 20,000 readings."""

from datetime import timedelta

from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from maintenance.models import Defect
from readiness.queries.facts import facts_for
from readiness.rules.engine import judge
from tests.benchmarks.row import quickest
from tests.factories.readiness import stored
from tests.factories.worked_example import JUDGED_AT, worked_example
from vessel.models import Equipment, LogEntry, LogKind, Proof, Reading, Series, Vessel

EQUIPMENT, DEFECTS, LOG_LINES, READINGS = 500, 5_000, 100_000, 20_000
BY = "owner-000001"
LONG_AGO = JUDGED_AT - timedelta(days=3000)


def measured() -> tuple[float, int, int]:
    """Seconds to judge with the long past, queries of it, and queries without the past."""
    call_command("migrate", verbosity=0)
    leg = stored(worked_example(960))
    before = _queries(leg.pk)
    add_long_past(leg.vessel)
    moments = iter(range(100))

    def judged() -> None:
        judge(facts_for(leg_id=leg.pk, at=JUDGED_AT + timedelta(seconds=next(moments))))

    return quickest(judged, 5), _queries(leg.pk), before


def add_long_past(vessel: Vessel) -> None:
    """Fill the boat's tables; what is added is mended, old, or in no tree."""
    more = EQUIPMENT - vessel.equipment.count()
    items = Equipment.objects.bulk_create(
        Equipment(vessel=vessel, code=f"XX-{n:03d}", name=f"Fitting {n}", subject="hull") for n in range(more)
    )
    Proof.objects.bulk_create(Proof(equipment=item, at=LONG_AGO, text="seen", by=BY) for item in items)
    first = 1 + max(vessel.defects.values_list("number", flat=True), default=0)
    Defect.objects.bulk_create(
        Defect(
            vessel=vessel, number=first + n, title=f"Defect {n}", effect="disables", equipment=items[n % more],
            opened_at=LONG_AGO, opened_by=BY, closed_at=LONG_AGO + timedelta(days=1), closed_by=BY, how_mended="mended",
        )
        for n in range(DEFECTS)
    )  # fmt: skip
    kinds = list(LogKind.values)
    LogEntry.objects.bulk_create(
        (
            LogEntry(vessel=vessel, at=LONG_AGO + timedelta(minutes=n), kind=kinds[n % len(kinds)], by=BY,
                     entered_at=LONG_AGO + timedelta(minutes=n), engine_hours=1.0)
            for n in range(LOG_LINES)
        ),
        batch_size=2000,
    )  # fmt: skip
    series = list(Series.objects.filter(vessel=vessel))
    Reading.objects.bulk_create(
        Reading(series=series[n % len(series)], at=LONG_AGO + timedelta(minutes=n), value=1.0, how="measured", by=BY,
                typed="1")
        for n in range(READINGS)
    )  # fmt: skip


def _queries(leg_id: int) -> int:
    with CaptureQueriesContext(connection) as asked:
        facts_for(leg_id=leg_id, at=JUDGED_AT)
    return len(asked)
