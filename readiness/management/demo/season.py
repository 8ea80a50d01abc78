"""A season behind her: passages, hour meter, readings of what is watched, and the checks of these days."""

from collections.abc import Iterable
from typing import Any

from maintenance.models import Defect
from readiness.management.demo.boat import AUTHOR
from readiness.management.demo.moment import DemoMoment
from readiness.management.demo.work import ENGINE_HOURS
from vessel.actions.author import By
from vessel.actions.fuel_use import book_fuel_use
from vessel.actions.history import record
from vessel.actions.particulars import write_down
from vessel.calc.quantity import SERIES_UNITS
from vessel.models import ElectricalSource, Equipment, LogEntry, LogKind, Reading, Series, Sump, Tank, Vessel

PASSAGES, HOURS_EACH, DAYS_APART = 60, 3.0, 3.0

Taken = tuple[float, float | None, float, dict[str, Any]]  # days ago, engine hours, value, conditions


def demo_readings(
    vessel: Vessel, owner: By, moment: DemoMoment, sources: dict[str, ElectricalSource], tank: Tank, sump: Sump
) -> dict[str, Series]:
    """The series and what was read: hour meter, tank, oil, volts, and what the nursed defects are watched by."""
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel)}
    hours = [(number * DAYS_APART + 1, ENGINE_HOURS - number * HOURS_EACH) for number in range(PASSAGES)]
    rested = {"rested_s": 36000.0, "on_charge": False}
    lists: tuple[tuple[str, str, dict[str, Any], list[Taken]], ...] = (
        ("Engine hours", "engine_hours", {}, [(days, value, value, {}) for days, value in hours]),
        ("Main tank", "tank_level", {"tank": tank},
         [(days, None, level, {}) for days, level in ((60, 410), (30, 350), (10, 330), (1, 300))]),
        ("Engine oil above the lower mark", "sump_level", {"sump": sump}, [(1, ENGINE_HOURS, 0.8, {})]),
        ("Engine oil added", "consumable_added", {"sump": sump},
         [(days, ENGINE_HOURS - back, litres, {}) for days, back, litres in
          ((60, 60, 0.3), (50, 50, 0.3), (40, 40, 0.3), (30, 30, 0.3), (20, 20, 0.3), (10, 10, 0.3), (1, 0, 0.45))]),
        ("Crank battery at rest", "rested_voltage", {"source": sources["crank"]},
         [(20, None, 25.4, rested), (8, None, 25.3, rested), (0.8, None, 25.3, rested)]),
        ("Charge of the ship's bank", "state_of_charge", {"source": sources["ship"]},
         [(20, None, 0.95, {}), (0.8, None, 0.92, {})]),
        ("Engine space above outside air", "engine_space_rise", {"equipment": items["EN-01"]},
         [(20, ENGINE_HOURS - 20, 31.0, {"running": True})]),
        ("Play of the emergency tiller head", "free_play", {"equipment": items["ST-05"], "limit": 3.0,
         "limit_outcome": "condition"},
         [(days, None, play, {"radius_mm": 60.0}) for days, play in ((90, 1.1), (60, 1.3), (30, 1.5))]),
        ("Play of the autopilot drive", "free_play", {"equipment": items["ST-06"]},
         [(40, None, 1.0, {"radius_mm": 420.0})]),
        ("Weep of the seawater pump", "drips", {"equipment": items["EN-06"], "limit": 200.0,
         "limit_outcome": "condition"},
         [(days, ENGINE_HOURS - back, drips, {"running": True}) for days, back, drips in
          ((40, 40, 20.0), (30, 30, 37.0), (20, 20, 55.0), (10, 10, 73.0), (1, 0, 90.0))]),
        ("Flow of the forward bilge pump", "pump_rate", {"equipment": items["BP-03"], "limit": 20.0,
         "limit_side": "below", "limit_outcome": "condition"},
         [(days, None, rate, {}) for days, rate in ((120, 38.0), (80, 35.0), (40, 32.0), (5, 29.0))]),
        ("Clearance of the stern bearing", "bearing_clearance", {"equipment": items["EN-15"]},
         [(200, None, 0.8, {}), (60, None, 0.9, {})]),
    )  # fmt: skip
    return {name: _series(vessel, owner, moment, name, kind, of, readings) for name, kind, of, readings in lists}


def demo_fuel(vessel: Vessel, owner: By, moment: DemoMoment) -> None:
    """What five runs at cruising revolutions really used: a little more than the table says."""
    for days, back, litres in ((49, 45, 27.4), (40, 36, 28.3), (31, 27, 27.7), (19, 15, 28.1), (10, 6, 27.9)):
        book_fuel_use(
            vessel=vessel, ended_at=moment.ago(days=days), from_engine_hours=ENGINE_HOURS - back - HOURS_EACH,
            to_engine_hours=ENGINE_HOURS - back, used_l=litres, mean_rpm=1800.0, by=owner, at=moment.ago(days=days),
        )  # fmt: skip


def _series(
    vessel: Vessel, owner: By, moment: DemoMoment, name: str, kind: str, of: dict[str, Any], taken: Iterable[Taken]
) -> Series:
    series = write_down(
        Series, vessel=vessel, by=owner, at=moment.ago(days=180), name=name, kind=kind, unit=SERIES_UNITS[kind], **of
    )
    Reading.objects.bulk_create(
        Reading(
            series=series, at=moment.ago(days=days), value=value, engine_hours=hours, conditions=conditions, by=AUTHOR,
            how="read off" if kind == "engine_hours" else "measured",
        )
        for days, hours, value, conditions in taken
    )  # fmt: skip
    return series


def watch_defects(defects: list[Defect], series: dict[str, Series]) -> None:
    """Tie each nursed defect to the series that shows how it goes on."""
    watched = {
        0: "Engine oil added",
        1: "Play of the emergency tiller head",
        2: "Weep of the seawater pump",
        3: "Flow of the forward bilge pump",
        4: "Clearance of the stern bearing",
    }
    for place, name in watched.items():
        Defect.objects.filter(pk=defects[place].pk).update(
            series=series[name], limit_outcome=series[name].limit_outcome
        )


def demo_log(vessel: Vessel, owner: By, moment: DemoMoment) -> None:
    """The passages of the season and the checks of these days."""
    passages = [
        LogEntry(
            vessel=vessel, kind=LogKind.PASSAGE, at=moment.ago(days=number * DAYS_APART + 1),
            text="Along the Ostrel coast", engine_hours=ENGINE_HOURS - number * HOURS_EACH,
            values={"distance_m": 37040.0, "hours_h": HOURS_EACH}, by=AUTHOR, entered_at=moment.ago(days=1),
        )
        for number in range(PASSAGES)
    ]  # fmt: skip
    checks: tuple[tuple[LogKind, float, dict[str, Any]], ...] = (
        (LogKind.COLD_START, 1.0, {"lowest_v": 20.4, "alone": True}),
        (LogKind.RAW_WATER_SEEN, 1.0, {}),
        (LogKind.HELM_CHECK, 0.1, {}),
        (LogKind.LIGHTS_CHECK, 0.01, {}),
        (LogKind.RADIO_CHECK, 0.5, {}),
        (LogKind.NOTICES_READ, 0.3, {}),
        (LogKind.FUEL_DRAINED, 8.0, {"found_l": 0.0}),
        (LogKind.BILGE_LOOK, 0.1, {}),
        (LogKind.TILLER_DRILL, 30.0, {"seconds": 240.0}),
        (LogKind.RECOVERY_DRILL, 90.0, {"seconds": 600.0}),
        (LogKind.REFUELLED, 60.0, {"litres_l": 180.0}),
    )
    seen = [
        LogEntry(vessel=vessel, kind=kind, at=moment.ago(days=days), values=values, by=AUTHOR, entered_at=moment.now)
        for kind, days, values in checks
    ]
    LogEntry.objects.bulk_create(passages + seen)
    what = f"{len(passages) + len(seen)} lines were copied from the paper log."
    record(vessel=vessel, what=what, by=owner, at=moment.ago(minutes=5), noun="vessel", noun_key=vessel.name)
