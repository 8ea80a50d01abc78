"""The facts document of the demo's leg at a fixed moment: the example that the docs print."""

from datetime import UTC, datetime, timedelta

from django.db import transaction

from readiness.management.demo.load import write_demo
from readiness.management.demo.moment import DemoMoment
from readiness.queries.facts import facts_for
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Departures

LOADED_AT = datetime(2027, 5, 14, 16, 0, tzinfo=UTC)
QUARTERS = 24


def example_facts() -> Facts:
    """The facts of the demo's leg for six hours of departures about the planned one; the database is left as it was."""
    moment = DemoMoment(LOADED_AT)
    with transaction.atomic():
        leg = write_demo(moment)
        first = moment.planned - timedelta(hours=2)
        facts = facts_for(
            leg_id=leg.pk, at=moment.now, departures=Departures(first=first, every_s=900.0, count=QUARTERS)
        )
        transaction.set_rollback(True)
    return facts
