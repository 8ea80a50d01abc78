"""Facts of the boat, put together from the rows that the other `facts_*` queries fetched."""

from collections.abc import Sequence
from datetime import UTC, datetime
from math import isinf
from zoneinfo import ZoneInfo

from readiness.queries.facts_date import last_day
from readiness.queries.facts_gear import defects_of, equipment_of, jobs_of, services_of
from readiness.queries.facts_leg import LegRow
from readiness.queries.facts_number import number
from readiness.queries.facts_reading import Taken, additions_of, newest, reading_of, readings_of
from readiness.queries.facts_short_list import ShortLists, ShortRow, short_lists_of
from readiness.rules.facts_boat import (
    Autopilot,
    Beacon,
    Boat,
    ColdStart,
    Consumable,
    CrankBattery,
    FuelRun,
    Function,
    Lifejackets,
    Load,
    Log,
    Reading,
    RestedVolts,
    SeaSpeed,
    ShipBank,
    SpeedPoint,
    Tank,
    Vessel,
)
from readiness.rules.fuel_aboard import expected_l
from readiness.rules.record import NOT_KNOWN
from readiness.rules.words_of_trade import Chemistry, GaugeKind
from vessel.models import Consumable as ConsumableWord
from vessel.models import EquipmentKind, SeriesKind, SourceKind
from vessel.models import Vessel as VesselRow

RUNS = 12  # so many of the newest runs tell what she burns
LONG_AGO = datetime.min.replace(tzinfo=UTC)


def boat_of(row: LegRow, at: datetime) -> Boat:
    """Everything about the boat of a leg. Six queries."""
    vessel = row.leg.vessel
    lists, taken = short_lists_of(vessel.pk), readings_of(vessel.pk)
    hours = reading_of(newest(taken, SeriesKind.ENGINE_HOURS))
    return Boat(
        vessel=_vessel(vessel, lists),
        equipment=equipment_of(vessel.pk, at.astimezone(ZoneInfo(vessel.home_zone)).date()),
        functions=_functions(lists),
        defects=defects_of(vessel.pk),
        jobs=jobs_of(vessel.pk),
        services=services_of(vessel.pk),
        engine_hours_h=hours,
        engine_space_rise_k=reading_of(newest(taken, SeriesKind.ENGINE_SPACE_RISE), hours.value),
        crank=_crank(row, lists, taken),
        bank=_bank(lists, taken, hours),
        loads=tuple(_load(load) for load in lists["load"] if SourceKind.SHIP in (load.word, load.text)),
        autopilot=_autopilot(row, taken),
        fuel=tuple(_tank(tank, taken, hours) for tank in lists["tank"]),
        fuel_runs=_fuel_runs(lists, _speed_table(lists)),
        consumables=tuple(_consumable(sump, taken, hours) for sump in lists["sump"]),
        lifejackets=tuple(_jackets(jackets) for jackets in lists["jacket"]),
        beacons=tuple(_beacon(beacon) for beacon in lists["beacon"]),
        log=Log(lights_checked_at=row.lights_checked_at, second_start_proved_at=row.second_start_at),
    )


def _vessel(vessel: VesselRow, lists: ShortLists) -> Vessel:
    return Vessel(
        name=vessel.name,
        home_zone=vessel.home_zone,
        currency=vessel.currency or None,
        loa_m=number(vessel.loa_m),
        draught_m=number(vessel.draught_m),
        air_draught_m=number(vessel.air_draught_m),
        air_draught_folded_m=number(vessel.air_draught_folded_m),
        max_persons=vessel.max_persons,
        min_crew=vessel.min_crew,
        haul_out_on=vessel.next_haul_out_on,
        speed_table=_speed_table(lists),
        sea_speeds=tuple(
            SeaSpeed(height_m=number(sea.x), ahead=number(sea.y), abeam=number(sea.z), astern=number(sea.v))
            for sea in sorted(lists["sea speed"], key=lambda sea: sea.x or 0.0)
        ),
        late_speed_factor=vessel.speed_factor_late,
        early_speed_factor=vessel.speed_factor_early,
        slip_s=float(vessel.slip_s),
    )


def _speed_table(lists: ShortLists) -> tuple[SpeedPoint, ...]:
    return tuple(
        SpeedPoint(rpm=number(point.x), speed_mps=number(point.y), burn_l_per_h=number(point.z))
        for point in sorted(lists["speed"], key=lambda point: point.x or 0.0)
    )


def _functions(lists: ShortLists) -> tuple[Function, ...]:
    rows = sorted(lists["function"], key=lambda row: (row.number or 0, row.word or ""))
    return tuple(
        Function(key=row.word or "", name=row.name or "", tree=row.text or "", is_group=bool(row.flag)) for row in rows
    )


def _crank(row: LegRow, lists: ShortLists, taken: Sequence[Taken]) -> CrankBattery | None:
    source = next((source for source in lists["source"] if source.word == SourceKind.CRANK), None)
    if source is None:
        return None
    return CrankBattery(
        code=source.name or "",
        nominal_v=number(source.y),
        rested=_rested(newest(taken, SeriesKind.RESTED_VOLTAGE, source_kind=SourceKind.CRANK)),
        cold_start=ColdStart(
            at=row.cold_start_at,
            lowest_v=number(row.cold_start.get("lowest_v")),
            alone=row.cold_start.get("alone"),
        ),
        discharged_at=tuple(
            load.at for load in lists["load"] if load.at and SourceKind.CRANK in (load.word, load.text)
        ),
    )


def _rested(one: Taken | None) -> RestedVolts:
    if one is None:
        return RestedVolts(value=NOT_KNOWN, at=None, rested_s=NOT_KNOWN, on_charge=None)
    said = one.conditions
    return RestedVolts(
        value=one.value, at=one.at, rested_s=number(said.get("rested_s")), on_charge=said.get("on_charge")
    )


def _bank(lists: ShortLists, taken: Sequence[Taken], hours: Reading) -> ShipBank | None:
    source = next((source for source in lists["source"] if source.word == SourceKind.SHIP), None)
    if source is None:
        return None
    charge = newest(taken, SeriesKind.STATE_OF_CHARGE, source_kind=SourceKind.SHIP)
    return ShipBank(
        code=source.name or "",
        capacity_ah=number(source.x),
        chemistry=Chemistry(source.text) if source.text else None,
        state_of_charge=reading_of(charge, hours.value),
    )


def _load(load: ShortRow) -> Load:
    return Load(name=load.name or "", running_a=number(load.x), essential=load.flag)


def _autopilot(row: LegRow, taken: Sequence[Taken]) -> Autopilot:
    play = newest(taken, SeriesKind.FREE_PLAY, equipment_kind=EquipmentKind.AUTOPILOT_DRIVE)
    return Autopilot(
        sea_h_since_work=number(row.autopilot_sea_h),
        play_mm=play.value if play else NOT_KNOWN,
        radius_mm=number(play.conditions.get("radius_mm")) if play else NOT_KNOWN,
    )


def _tank(tank: ShortRow, taken: Sequence[Taken], hours: Reading) -> Tank:
    return Tank(
        name=tank.name or "",
        capacity_l=number(tank.x),
        unusable_l=number(tank.y),
        gauge=GaugeKind(tank.word) if tank.word else None,
        reading_l=reading_of(newest(taken, SeriesKind.TANK_LEVEL, tank_id=tank.pk), hours.value),
    )


def _fuel_runs(lists: ShortLists, table: Sequence[SpeedPoint]) -> tuple[FuelRun, ...]:
    """The newest runs that her table reaches, the oldest of them first: long ago says little of her now."""
    runs = (
        FuelRun(at=run.at, run_h=number(run.x), used_l=number(run.y), rpm=number(run.z), speed_mps=number(run.v))
        for run in sorted(lists["fuel run"], key=lambda run: (run.at or LONG_AGO, run.pk))
    )
    return tuple(run for run in runs if not isinf(expected_l(table, run)))[-RUNS:]


def _consumable(sump: ShortRow, taken: Sequence[Taken], hours: Reading) -> Consumable:
    """What one sump holds and loses; stock that was never counted leaves what is carried not known."""
    carried = NOT_KNOWN if sump.flag else sump.y or 0.0
    return Consumable(
        name=ConsumableWord(sump.word or "").label,
        defect=f"DEF-{sump.number}" if sump.number else None,
        above_minimum_l=reading_of(newest(taken, SeriesKind.SUMP_LEVEL, sump_id=sump.pk), hours.value),
        carried_l=carried,
        added=additions_of(taken, sump.pk),
    )


def _jackets(row: ShortRow) -> Lifejackets:
    return Lifejackets(size=row.word or "", count=row.number, good_through=last_day(row.on, row.text))


def _beacon(row: ShortRow) -> Beacon:
    return Beacon(
        code=row.word or "",
        name=row.name or "",
        battery_through=last_day(row.on, row.text),
        registered_on=row.later_on,
        registered_to_owner=row.flag,
    )
