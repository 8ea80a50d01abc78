"""The boat of a facts document written into the database, with as much past behind it as one asks for.

`pasts` writes what a document never shows: older readings and log lines, mended defects, proved jobs, services done
before the last one. The facts gathered again must not change by them.
"""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

import numpy as np

from maintenance.models import Defect, Job, ServiceDone, ServiceItem, Spare
from readiness.rules.facts_boat import Reading
from vessel import models
from vessel.models import LogKind, SeriesKind, Vessel
from vessel.units import DAY

ByCode = Mapping[str, models.Equipment]
BY = "owner-000001"


def known(value: float) -> float | None:
    """NULL for NaN."""
    return None if np.isnan(value) else value


def stored_vessel(boat: Any) -> Vessel:
    """The vessel herself, with her speed table and functions."""
    stated = boat.vessel
    vessel = Vessel.objects.create(
        name=stated.name,
        home_zone=stated.home_zone,
        loa_m=known(stated.loa_m),
        draught_m=known(stated.draught_m),
        air_draught_m=known(stated.air_draught_m),
        air_draught_folded_m=known(stated.air_draught_folded_m),
        currency=stated.currency or "",
        max_persons=stated.max_persons,
        min_crew=stated.min_crew,
        next_haul_out_on=stated.haul_out_on,
        speed_factor_late=stated.late_speed_factor,
        speed_factor_early=stated.early_speed_factor,
        slip_s=int(stated.slip_s),
    )
    for point in stated.speed_table:
        vessel.speed_points.create(rpm=int(point.rpm), speed_mps=point.speed_mps, burn_l_per_h=point.burn_l_per_h)
    for sea in stated.sea_speeds:
        vessel.sea_speeds.create(height_m=sea.height_m, ahead=sea.ahead, abeam=sea.abeam, astern=sea.astern)
    for run in boat.fuel_runs:
        vessel.fuel_uses.create(
            at=run.at, from_engine_hours=4000.0, to_engine_hours=4000.0 + run.run_h, used_l=run.used_l,
            mean_rpm=known(run.rpm), mean_speed_mps=known(run.speed_mps), by="owner",
        )  # fmt: skip
    for place, function in enumerate(boat.functions):
        vessel.functions.create(
            key=function.key, name=function.name, tree=function.tree, is_group=function.is_group, place=place
        )
    return vessel


def stored_gear(boat: Any, vessel: Vessel, pasts: int) -> ByCode:
    """Equipment, its feeds and proofs, defects, jobs and services."""
    items = {}
    for item in boat.equipment:
        items[item.code] = vessel.equipment.create(
            code=item.code,
            name=item.name,
            kind=item.kind,
            carried=item.carried,
            subject=models.Subject.HULL,
            single_by_nature=item.single_by_nature,
            keep_days=int(item.keeps_s / DAY),
            typical_proof=item.proof,
            proof_minutes=known(item.proof_minutes),
            proof_where=item.proof_where,
        )
    for item in boat.equipment:
        for feed in item.fed_by:
            models.FeedChoice.objects.create(equipment=items[item.code], feed=items[feed])
        for past in range(pasts + 1 if item.proved_at else 0):
            items[item.code].proofs.create(at=item.proved_at - timedelta(days=past), text="Tried", by=BY)
    _work(boat, vessel, items, pasts)
    return items


def _work(boat: Any, vessel: Vessel, items: ByCode, pasts: int) -> None:
    for defect in boat.defects or ():
        vessel.defects.create(
            number=int(defect.key.removeprefix("DEF-")),
            title=defect.title,
            equipment=items[defect.equipment] if defect.equipment else None,
            effect=defect.effect,
            limit_text=defect.limit,
            opened_at=defect.opened_at,
            opened_by=BY,
            mend_minutes=known(defect.mend_minutes),
            mend_parts_aboard=defect.mend_parts_aboard,
        )
    for job in boat.jobs or ():
        row = vessel.jobs.create(
            number=int(job.key.removeprefix("JOB-")),
            title=job.title,
            status=job.status,
            opens=list(job.opens),
            opens_equipment=items[job.opens_equipment] if job.opens_equipment else None,
            put_back_minutes=known(job.put_back_minutes),
            hours_likely=known(job.hours),
            hands=job.hands,
            done_at=job.done_at,
            done_by=BY if job.done_at else None,
            test_text=job.test.text if job.test else "",
            test_where=job.test.where if job.test else None,
            test_minutes=known(job.test.minutes) if job.test else None,
        )
        row.takes_out.set([items[code] for code in job.takes_out])
    _services(boat, vessel, items, pasts)
    _ended_work(vessel, next(iter(items.values())), pasts)


def _services(boat: Any, vessel: Vessel, items: ByCode, pasts: int) -> None:
    for service in boat.services or ():
        row = ServiceItem.objects.create(
            vessel=vessel,
            code=service.key,
            item=service.item,
            equipment=items[service.equipment],
            every_hours=known(service.every_h),
            every_months=None if np.isnan(service.every_months) else int(service.every_months),
            tolerance_pct=known(service.tolerance * 100),
            minutes=known(service.minutes),
        )
        for past in range(pasts + 1 if service.last_on else 0):
            ServiceDone.objects.create(
                service_item=row,
                on=service.last_on - timedelta(days=365 * past),
                engine_hours=known(service.last_engine_h - 100 * past),
                by=BY,
                entered_at=boat.engine_hours_h.at,
            )


def _ended_work(vessel: Vessel, item: models.Equipment, pasts: int) -> None:
    at: Any = models.Proof.objects.order_by("at").values_list("at", flat=True).first()
    for past in range(pasts):
        Defect.objects.create(
            vessel=vessel, number=900 + past, title="Mended long ago", equipment=item, effect="disables",
            opened_at=at, opened_by=BY, closed_at=at, closed_by=BY, how_mended="Mended",
        )  # fmt: skip
        job = Job.objects.create(
            vessel=vessel, number=900 + past, title="Proved long ago", status="proved", done_at=at, done_by=BY,
            proved_at=at,
        )  # fmt: skip
        job.takes_out.add(item)


def stored_stores(boat: Any, vessel: Vessel, items: ByCode, pasts: int) -> None:
    """Electrics, tanks, sumps, safety equipment, readings and log."""
    _reading(vessel, SeriesKind.ENGINE_HOURS, boat.engine_hours_h, pasts)
    _reading(vessel, SeriesKind.ENGINE_SPACE_RISE, boat.engine_space_rise_k, pasts)
    _electrics(boat, vessel, items, pasts)
    for tank in boat.fuel:
        row = vessel.tanks.create(
            name=tank.name, kind="fuel", gauge=tank.gauge, capacity_l=tank.capacity_l, unusable_l=tank.unusable_l
        )
        _reading(vessel, SeriesKind.TANK_LEVEL, tank.reading_l, pasts, tank=row)
    _consumables(boat, vessel, items, pasts)
    for jackets in boat.lifejackets:
        vessel.safety_equipment.create(
            kind="lifejacket", name="Lifejackets", size=jackets.size, count=jackets.count,
            valid_until=jackets.good_through, valid_until_precision="day",
        )  # fmt: skip
    for beacon in boat.beacons:
        vessel.safety_equipment.create(
            kind="beacon", name=beacon.name, equipment=items[beacon.code], valid_until=beacon.battery_through,
            valid_until_precision="month", registered_on=beacon.registered_on,
            registered_to_owner=beacon.registered_to_owner,
        )  # fmt: skip
    _log(boat, vessel, pasts)


def _electrics(boat: Any, vessel: Vessel, items: ByCode, pasts: int) -> None:
    if crank := boat.crank:
        source = vessel.electrical_sources.create(
            name="Crank battery", kind="crank", equipment=items[crank.code], nominal_v=crank.nominal_v
        )
        rested = Reading(value=crank.rested.value, at=crank.rested.at, how=None, keeps_s=7 * DAY)
        conditions = {"rested_s": crank.rested.rested_s, "on_charge": crank.rested.on_charge}
        _reading(vessel, SeriesKind.RESTED_VOLTAGE, rested, pasts, source=source, conditions=conditions)
    if bank := boat.bank:
        source = vessel.electrical_sources.create(
            name="Ship's bank", kind="ship", equipment=items[bank.code], nominal_v=24.0,
            capacity_ah=known(bank.capacity_ah), chemistry=bank.chemistry,
        )  # fmt: skip
        _reading(vessel, SeriesKind.STATE_OF_CHARGE, bank.state_of_charge, pasts, source=source)
        for load in boat.loads:
            source.loads.create(
                vessel=vessel, name=load.name, running_a=known(load.running_a), essential=load.essential
            )
    play = Reading(value=boat.autopilot.play_mm, at=boat.engine_hours_h.at, how=None, keeps_s=DAY)
    drive = next(item for item in items.values() if item.kind == models.EquipmentKind.AUTOPILOT_DRIVE)
    conditions = {"radius_mm": boat.autopilot.radius_mm}
    _reading(vessel, SeriesKind.FREE_PLAY, play, pasts, equipment=drive, conditions=conditions)


def _consumables(boat: Any, vessel: Vessel, items: ByCode, pasts: int) -> None:
    for consumable in boat.consumables:
        defect: Any = Defect.objects.get(vessel=vessel, number=int((consumable.defect or "").removeprefix("DEF-")))
        word = next(word for word in models.Consumable if word.label == consumable.name)
        sump = vessel.sumps.create(consumable=word, equipment=defect.equipment, above_min_l=2.0)
        _reading(vessel, SeriesKind.SUMP_LEVEL, consumable.above_minimum_l, pasts, sump=sump)
        Spare.objects.create(vessel=vessel, part="Oil", quantity=consumable.carried_l, unit="l", consumable=word)
        series = vessel.series.create(name="Oil added", kind=SeriesKind.CONSUMABLE_ADDED, unit="l", sump=sump)
        total = 0.0
        for days, added in enumerate(consumable.added):
            series.readings.create(
                at=boat.engine_hours_h.at + timedelta(days=days - 100), value=added.total_l - total,
                engine_hours=added.engine_h, by=BY,
            )  # fmt: skip
            total = added.total_l


def _reading(vessel: Vessel, kind: SeriesKind, reading: Any, pasts: int, **of: Any) -> None:
    conditions: Any = of.pop("conditions", {})
    series = vessel.series.create(
        name=f"{kind} {vessel.series.count()}", kind=kind, unit="1", keeps_s=known(reading.keeps_s), **of
    )
    for past in range(pasts + 1 if reading.at else 0):
        series.readings.create(
            at=reading.at - timedelta(days=past), value=reading.value - past, how=reading.how or "measured",
            conditions=conditions, by=BY,
        )  # fmt: skip


def _log(boat: Any, vessel: Vessel, pasts: int) -> None:
    start = boat.crank.cold_start
    lines: dict[LogKind, tuple[Any, dict[str, Any]]] = {
        LogKind.LIGHTS_CHECK: (boat.log.lights_checked_at, {}),
        LogKind.SECOND_START: (boat.log.second_start_proved_at, {}),
        LogKind.COLD_START: (start.at, {"lowest_v": start.lowest_v, "alone": start.alone}),
        LogKind.AUTOPILOT_AT_SEA: (boat.engine_hours_h.at, {"ran_h": boat.autopilot.sea_h_since_work}),
    }
    for kind, (at, values) in lines.items():
        for past in range(pasts + 1 if at else 0):
            when = at - timedelta(days=past)
            past_values = values if past == 0 else {**values, "ran_h": 0.0}
            vessel.log_entries.create(at=when, kind=kind, values=past_values, by=BY, entered_at=when)
