"""Her speed table, what runs really used against it, and the speed she keeps in a sea, as their page asks for them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import isinf

from readiness.calc.fuel import Fit
from readiness.queries.facts_boat import RUNS
from readiness.queries.facts_number import number
from readiness.rules import facts_boat
from readiness.rules.fuel_aboard import expected_l, fit_of_runs
from vessel.models import FuelUse, SeaSpeed, SpeedPoint
from vessel.queries.history import names_of


@dataclass(frozen=True, slots=True)
class RunTold:
    """One run. `expected_l` is NaN where the table has a gap, infinite where it does not reach so far."""

    use: FuelUse
    expected_l: float
    by: str
    struck_by: str

    @property
    def hours(self) -> float:
        return self.use.to_engine_hours - self.use.from_engine_hours

    @property
    def is_compared(self) -> bool:
        """Whether the table reaches so far."""
        return not isinf(self.expected_l)

    @property
    def share(self) -> float:
        """Litres used over litres expected."""
        return self.use.used_l / self.expected_l


@dataclass(frozen=True, slots=True)
class SpeedTold:
    """The tables, and the runs newest first: those that count, those too old to count, those struck out."""

    points: tuple[SpeedPoint, ...]
    seas: tuple[SeaSpeed, ...]
    counted: tuple[RunTold, ...]
    older: tuple[RunTold, ...]
    struck: tuple[RunTold, ...]
    fit: Fit


def speed_of(vessel_id: int) -> SpeedTold:
    """Everything of a vessel's speed and fuel; the fit is the one her legs are judged with. Four queries."""
    points = tuple(SpeedPoint.objects.filter(vessel_id=vessel_id).order_by("rpm"))
    table = [
        facts_boat.SpeedPoint(
            rpm=float(row.rpm), speed_mps=number(row.speed_mps), burn_l_per_h=number(row.burn_l_per_h)
        )
        for row in points
    ]
    names = names_of(vessel_id)
    uses = FuelUse.objects.filter(vessel_id=vessel_id).order_by("-at", "-pk")
    runs = [_told(use, table, names) for use in uses]
    standing = tuple(run for run in runs if run.use.struck_at is None)
    counted = standing[: sum(compared <= RUNS for compared in accumulate(run.is_compared for run in standing))]
    return SpeedTold(
        points=points,
        seas=tuple(SeaSpeed.objects.filter(vessel_id=vessel_id).order_by("height_m")),
        counted=counted,
        older=standing[len(counted) :],
        struck=tuple(run for run in runs if run.use.struck_at is not None),
        fit=fit_of_runs([_fact(run.use) for run in counted if run.is_compared], table),
    )


def _told(use: FuelUse, table: Sequence[facts_boat.SpeedPoint], names: dict[str, str]) -> RunTold:
    by, struck_by = (names.get(token) or token for token in (use.by, use.struck_by or ""))
    return RunTold(use, expected_l(table, _fact(use)), by, struck_by)


def _fact(use: FuelUse) -> facts_boat.FuelRun:
    return facts_boat.FuelRun(
        at=use.at,
        run_h=use.to_engine_hours - use.from_engine_hours,
        used_l=use.used_l,
        rpm=number(use.mean_rpm),
        speed_mps=number(use.mean_speed_mps),
    )
