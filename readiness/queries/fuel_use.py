"""What her speed table expects of a run that is not written down yet."""

from datetime import UTC, datetime

from readiness.queries.facts_number import number
from readiness.rules import facts_boat
from readiness.rules.fuel_aboard import expected_l
from vessel.models import SpeedPoint

NO_DAY = datetime(2000, 1, 1, tzinfo=UTC)  # the table expects the same of a run on any day


def expected_of(vessel_id: int, *, hours: float, mean_rpm: float | None, mean_speed_mps: float | None) -> float:
    """Litres; NaN where the table has a gap, infinite where it does not reach so far. One query."""
    table = [
        facts_boat.SpeedPoint(
            rpm=float(row.rpm), speed_mps=number(row.speed_mps), burn_l_per_h=number(row.burn_l_per_h)
        )
        for row in SpeedPoint.objects.filter(vessel_id=vessel_id)
    ]
    run = facts_boat.FuelRun(
        at=NO_DAY, run_h=hours, used_l=number(None), rpm=number(mean_rpm), speed_mps=number(mean_speed_mps)
    )
    return expected_l(table, run)
