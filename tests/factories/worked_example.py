"""The worked example: *Tallow Wren* from Ostrel Haven to Morrowick Basin, Saturday 15 May 2027, as facts.

An invented vessel on an invented coast. Times of departure, tide, stream and sea are chosen so that the sums can be
checked by hand; tests change one thing at a time with `changed` and `msgspec.structs.replace`.
"""

import csv
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from readiness.rules.facts import FORMAT, Facts, counts_of
from readiness.rules.facts_boat import (
    Added,
    Autopilot,
    Beacon,
    Boat,
    ColdStart,
    Consumable,
    CrankBattery,
    Defect,
    Equipment,
    Function,
    Job,
    Lifejackets,
    Load,
    Log,
    Reading,
    RestedVolts,
    Service,
    ShipBank,
    SpeedPoint,
    Tank,
    Test,
    Vessel,
)
from readiness.rules.facts_people import Box, Contact, Person, Policy, Span
from readiness.rules.facts_water import Departures
from readiness.rules.limits import Limits
from readiness.rules.words_of_trade import (
    Chemistry,
    DueBy,
    Effect,
    GaugeKind,
    How,
    JobStatus,
    Kind,
    Skill,
    TestPlace,
)
from tests.factories.worked_water import LEG, NAN, WATER
from vessel.units import DAY, HOUR, KNOT

TEMPLATE = Path(__file__).parents[2] / "vessel" / "template"
JUDGED_AT = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)
PROVED_AT = JUDGED_AT - timedelta(days=10)


def reading(value: float, days_old: float = 1.0, keeps_days: float = 30.0, how: How = How.MEASURED) -> Reading:
    """A reading as it stood `days_old` before the judging."""
    return Reading(value=value, at=JUDGED_AT - timedelta(days=days_old), how=how, keeps_s=keeps_days * DAY)


def equipment() -> tuple[Equipment, ...]:
    """The template's hundred items, each proved ten days ago; the AIS is not carried."""
    with (TEMPLATE / "equipment.csv").open(newline="") as file:
        return tuple(
            Equipment(
                code=row["code"],
                name=row["name"],
                kind=Kind(row["kind"]),
                carried=row["code"] != "NV-08",
                single_by_nature=row["single_by_nature"] == "yes",
                fed_by=tuple(row["fed_by"].split(";")) if row["fed_by"] else (),
                proved_at=PROVED_AT,
                keeps_s=float(row["keep_days"]) * DAY,
                proof=row["proof"],
                proof_minutes=float(row["proof_minutes"]),
                proof_where=TestPlace(row["proof_where"]),
            )
            for row in csv.DictReader(file)
        )


def functions() -> tuple[Function, ...]:
    """The template's success trees."""
    with (TEMPLATE / "functions.csv").open(newline="") as file:
        return tuple(
            Function(key=row["key"], name=row["name"], tree=row["tree"], is_group=row["is_group"] == "yes")
            for row in csv.DictReader(file)
        )


DEFECTS = (
    Defect(key="DEF-1", title="Oil cooler end seals weep", equipment="EN-09", effect=Effect.NONE, limit="",
           opened_at=JUDGED_AT - timedelta(days=48), mend_minutes=300.0, mend_parts_aboard=False),
    Defect(key="DEF-2", title="Emergency tiller head loose on its worn pin", equipment="ST-05",
           effect=Effect.DEGRADES, limit="1.5 mm of play at 60 mm, 1.43° in all",
           opened_at=JUDGED_AT - timedelta(days=30), mend_minutes=45.0, mend_parts_aboard=True),
    Defect(key="DEF-7", title="Echo sounder drops out", equipment="NV-05", effect=Effect.DEGRADES,
           limit="above 1,900 rpm", opened_at=JUDGED_AT - timedelta(days=20), mend_minutes=90.0,
           mend_parts_aboard=False),
)  # fmt: skip

JOBS = (
    Job(key="JOB-1", title="Wheelhouse windows resealed", status=JobStatus.DONE_UNTESTED, takes_out=("HU-10",),
        opens=(), opens_equipment=None, put_back_minutes=NAN, hours=3.0, hands=1,
        done_at=JUDGED_AT - timedelta(days=4),
        test=Test(text="Hose them for 2 min and look inside", where=TestPlace.ALONGSIDE, minutes=2.0)),
    Job(key="JOB-7", title="Autopilot pump away for overhaul", status=JobStatus.IN_HAND, takes_out=("ST-06",),
        opens=(), opens_equipment=None, put_back_minutes=120.0, hours=4.0, hands=1, done_at=None,
        test=Test(text="An hour at sea", where=TestPlace.AT_SEA, minutes=60.0)),
)  # fmt: skip

SERVICES = (
    Service(key="SV-01", item="Engine oil and filter", equipment="EN-09", due_by=DueBy.BOTH, every_h=200.0,
            every_months=12.0, tolerance=0.10, last_on=date(2027, 3, 1), last_engine_h=4130.0, minutes=75.0),
    Service(key="SV-07", item="Seawater pump impeller", equipment="EN-06", due_by=DueBy.BOTH, every_h=400.0,
            every_months=12.0, tolerance=0.10, last_on=date(2026, 10, 10), last_engine_h=4050.0, minutes=45.0),
    Service(key="SV-15", item="Oil cooler end seals renew", equipment="EN-09", due_by=DueBy.CONDITION, every_h=NAN,
            every_months=NAN, tolerance=0.0, last_on=None, last_engine_h=NAN, minutes=300.0),
    Service(key="SV-47", item="Extinguishers yearly service", equipment="FI-01", due_by=DueBy.MONTHS, every_h=NAN,
            every_months=12.0, tolerance=0.0, last_on=date(2026, 12, 3), last_engine_h=NAN, minutes=60.0),
)  # fmt: skip


def boat() -> Boat:
    """*Tallow Wren* with her defects and jobs."""
    return Boat(
        vessel=Vessel(
            name="Tallow Wren", home_zone="Europe/Lisbon", currency=None, loa_m=12.2, draught_m=1.25, air_draught_m=5.1,
            air_draught_folded_m=3.6, sea_speeds=(),
            max_persons=8, min_crew=2, haul_out_on=date(2027, 10, 4),
            speed_table=tuple(
                SpeedPoint(rpm=rpm, speed_mps=knots * KNOT, burn_l_per_h=burn)
                for rpm, knots, burn in ((1500.0, 6.0, 5.2), (1800.0, 7.0, 9.0), (2200.0, 7.8, 16.0))
            ),
            late_speed_factor=0.90, early_speed_factor=1.05, slip_s=900.0,
        ),
        equipment=equipment(), functions=functions(), defects=DEFECTS, jobs=JOBS, services=SERVICES,
        engine_hours_h=reading(4206.0, how=How.READ_OFF),
        engine_space_rise_k=reading(31.0, days_old=20, keeps_days=365),
        crank=CrankBattery(
            code="EL-01", nominal_v=24.0,
            rested=RestedVolts(value=25.6, at=JUDGED_AT - timedelta(days=1), rested_s=10 * HOUR, on_charge=False),
            cold_start=ColdStart(at=JUDGED_AT - timedelta(days=3), lowest_v=20.4, alone=True),
            discharged_at=(),
        ),
        bank=ShipBank(code="EL-05", capacity_ah=230.0, chemistry=Chemistry.LEAD_ACID,
                      state_of_charge=reading(0.90, keeps_days=7)),
        loads=(
            Load(name="Position display and sounder", running_a=2.0, essential=True),
            Load(name="VHF", running_a=0.8, essential=True),
            Load(name="Navigation lights", running_a=1.7, essential=True),
            Load(name="Refrigerator", running_a=2.6, essential=False),
        ),
        autopilot=Autopilot(sea_h_since_work=0.0, play_mm=1.0, radius_mm=420.0),
        fuel=(Tank(name="Main tank", capacity_l=450.0, unusable_l=25.0, gauge=GaugeKind.DIP,
                   reading_l=reading(300.0, keeps_days=14)),),
        fuel_runs=(),
        consumables=(
            Consumable(
                name="engine oil", defect="DEF-1", above_minimum_l=reading(0.8, keeps_days=14), carried_l=2.0,
                added=tuple(
                    Added(engine_h=hours, total_l=total)
                    for hours, total in ((4146.0, 0.0), (4156.0, 0.3), (4166.0, 0.6), (4176.0, 0.9),
                                         (4186.0, 1.2), (4196.0, 1.5), (4206.0, 1.95))
                ),
            ),
        ),
        lifejackets=(Lifejackets(size="adult", count=5, good_through=date(2027, 9, 30)),),
        beacons=(Beacon(code="RD-04", name="EPIRB", battery_through=date(2029, 4, 30),
                        registered_on=date(2026, 6, 1), registered_to_owner=True),),
        log=Log(lights_checked_at=JUDGED_AT - timedelta(hours=10), second_start_proved_at=None),
    )  # fmt: skip


def person(name: str, *skills: Skill, skipper: bool = False) -> Person:
    """Somebody aboard from Friday evening to Sunday evening, confirmed and free to stay."""
    return Person(
        name=name, skipper=skipper, skills=skills, fit=True, confirmed=True,
        aboard=(Span(start=datetime(2027, 5, 14, 20, tzinfo=UTC), end=datetime(2027, 5, 16, 20, tzinfo=UTC)),),
        must_leave_at=None, free_to_stay=True, jacket_size="adult",
    )  # fmt: skip


INES = person("Ines Roke", *Skill, skipper=True)
TAM = person("Tam Ferrow", Skill.HELM, Skill.NIGHT, Skill.WATCH_LEADER, Skill.LINES, Skill.RADIO)
ODILE = person("Odile Marr", Skill.HELM, Skill.LINES)


def worked_example(departures: int = 96) -> Facts:
    """The facts of the worked example; departure 0 is 06:30 UTC, one every quarter of an hour after it."""
    people, whole_boat = (INES, TAM, ODILE), boat()
    policies = (
        Policy(name="Hull and liability", from_on=date(2027, 1, 1), through_on=date(2027, 12, 31),
               area=Box(south_deg=45.0, north_deg=48.0, west_deg=-17.0, east_deg=-12.0),
               months=tuple(range(1, 13)), night_covered=True, single_handed_covered=False, clauses=()),
    )  # fmt: skip
    return Facts(
        format=FORMAT, judged_at=JUDGED_AT, boat=whole_boat, people=people,
        contact=Contact(name="Ruan Ash", told_at=JUDGED_AT - timedelta(hours=9), acknowledged=True,
                        overdue_at=datetime(2027, 5, 15, 16, 0, tzinfo=UTC)),
        policies=policies, leg=LEG, water=WATER,
        departures=Departures(first=datetime(2027, 5, 15, 6, 30, tzinfo=UTC), every_s=900.0, count=departures),
        limits=Limits(), waivers=(), met=(), counts=counts_of(whole_boat, people, policies, LEG, WATER),
    )  # fmt: skip
