"""Facts of the boat: what she is, what is fitted, what is wrong, what is done and due, what is aboard."""

from datetime import date
from typing import Annotated

from readiness.rules.record import Moment, Real, Record, unit
from readiness.rules.words_of_trade import (
    Chemistry,
    DueBy,
    Effect,
    GaugeKind,
    How,
    JobStatus,
    Kind,
    Opens,
    TestPlace,
)  # fmt: skip
from vessel.units import DAY


class Reading(Record, frozen=True):
    """One number: when it was taken, how it was got and how long it keeps. The unit stands in the field's name."""

    value: Real
    at: Moment | None
    how: How | None
    keeps_s: Annotated[Real, unit("s")]


class SpeedPoint(Record, frozen=True):
    """One line of the speed table, calm water, clean bottom."""

    rpm: Annotated[Real, unit("1/min")]
    speed_mps: Annotated[Real, unit("m/s")]
    burn_l_per_h: Annotated[Real, unit("l/h")]


class SeaSpeed(Record, frozen=True):
    """Share of her speed that she keeps in a sea of this height, taken ahead, abeam and astern."""

    height_m: Annotated[Real, unit("m")]
    ahead: Real
    abeam: Real
    astern: Real


class Vessel(Record, frozen=True):
    """Particulars and the factors of the early and late figures."""

    name: str
    home_zone: str
    currency: str | None
    loa_m: Annotated[Real, unit("m")]
    draught_m: Annotated[Real, unit("m")]
    air_draught_m: Annotated[Real, unit("m")]
    air_draught_folded_m: Annotated[Real, unit("m")]
    max_persons: int | None
    min_crew: int | None
    haul_out_on: date | None
    speed_table: tuple[SpeedPoint, ...]
    sea_speeds: tuple[SeaSpeed, ...]
    late_speed_factor: Real
    early_speed_factor: Real
    slip_s: Annotated[Real, unit("s")]

    def __post_init__(self) -> None:
        super().__post_init__()
        if abs(self.slip_s) > 7 * DAY:
            raise ValueError(f"slip_s {self.slip_s:g} is more than a week")


class Equipment(Record, frozen=True):
    """One piece of equipment and its proof. Its state is worked out from defects, jobs and proof, never typed.

    `fed_by`: codes of the feeds, any one of which will do. `carried` false: not aboard by choice; null: not known.
    `proved_at` null: never proved, as far as anybody knows. `keeps_s`: how long a proof stands.
    """

    code: str
    name: str
    kind: Kind
    carried: bool | None
    single_by_nature: bool | None
    fed_by: tuple[str, ...]
    proved_at: Moment | None
    keeps_s: Annotated[Real, unit("s")]
    proof: str
    proof_minutes: Annotated[Real, unit("min")]
    proof_where: TestPlace | None


class Function(Record, frozen=True):
    """A function of the boat as a success tree over equipment codes, helper groups and computed conditions."""

    key: str
    name: str
    tree: str
    is_group: bool


class Defect(Record, frozen=True):
    """A defect that is open. Null `effect` or `equipment`: nobody has said yet."""

    key: str
    title: str
    equipment: str | None
    effect: Effect | None
    limit: str  # the stated limit under which it still works: "above 1,900 rpm"
    opened_at: Moment | None
    mend_minutes: Annotated[Real, unit("min")]
    mend_parts_aboard: bool | None


class Test(Record, frozen=True):
    """The test that proves a job."""

    text: str
    where: TestPlace | None
    minutes: Annotated[Real, unit("min")]


class Job(Record, frozen=True):
    """A job that is not proved, dropped or a mere idea. Null `status`: nobody knows how far it is."""

    key: str
    title: str
    status: JobStatus | None
    takes_out: tuple[str, ...]
    opens: tuple[Opens, ...]
    opens_equipment: str | None
    put_back_minutes: Annotated[Real, unit("min")]
    hours: Annotated[Real, unit("h")]
    hands: int | None
    done_at: Moment | None
    test: Test | None


class Service(Record, frozen=True):
    """One line of the service plan with its last doing."""

    key: str
    item: str
    equipment: str
    due_by: DueBy | None
    every_h: Annotated[Real, unit("h")]
    every_months: Annotated[Real, unit("month")]
    tolerance: Real
    last_on: date | None
    last_engine_h: Annotated[Real, unit("h")]
    minutes: Annotated[Real, unit("min")]


class RestedVolts(Record, frozen=True):
    """Volts of the crank battery at rest. `rested_s`: since the last charge or load."""

    value: Annotated[Real, unit("V")]
    at: Moment | None
    rested_s: Annotated[Real, unit("s")]
    on_charge: bool | None


class ColdStart(Record, frozen=True):
    """A start of the cold engine on the crank battery alone (null: not known whether alone)."""

    at: Moment | None
    lowest_v: Annotated[Real, unit("V")]
    alone: bool | None


class CrankBattery(Record, frozen=True):
    """The battery that starts the engine. `discharged_at`: known discharges (something left on)."""

    code: str
    nominal_v: Annotated[Real, unit("V")]
    rested: RestedVolts
    cold_start: ColdStart
    discharged_at: tuple[Moment, ...]


class ShipBank(Record, frozen=True):
    """The bank that feeds the ship. State of charge from 0 to 1."""

    code: str
    capacity_ah: Annotated[Real, unit("Ah")]
    chemistry: Chemistry | None
    state_of_charge: Reading


class Load(Record, frozen=True):
    """An electrical load. Null `essential` counts as essential."""

    name: str
    running_a: Annotated[Real, unit("A")]
    essential: bool | None


class Autopilot(Record, frozen=True):
    """What lets the watch plan count on the autopilot. Play in mm at a radius in mm, both measured."""

    sea_h_since_work: Annotated[Real, unit("h")]
    play_mm: Annotated[Real, unit("mm")]
    radius_mm: Annotated[Real, unit("mm")]


class FuelRun(Record, frozen=True):
    """What one run really used, between two readings of the hour meter, at a mean engine or boat speed."""

    at: Moment | None
    run_h: Annotated[Real, unit("h")]
    used_l: Annotated[Real, unit("l")]
    rpm: Annotated[Real, unit("1/min")]
    speed_mps: Annotated[Real, unit("m/s")]


class Tank(Record, frozen=True):
    """A fuel tank and its newest reading in litres."""

    name: str
    capacity_l: Annotated[Real, unit("l")]
    unusable_l: Annotated[Real, unit("l")]
    gauge: GaugeKind | None
    reading_l: Reading


class Added(Record, frozen=True):
    """Litres added in all, at an engine-hour reading."""

    engine_h: Annotated[Real, unit("h")]
    total_l: Annotated[Real, unit("l")]


class Consumable(Record, frozen=True):
    """Oil, coolant or hydraulic oil that is being lost: level above the minimum mark, carried, and what was added."""

    name: str
    defect: str | None
    above_minimum_l: Reading
    carried_l: Annotated[Real, unit("l")]
    added: tuple[Added, ...]


class Lifejackets(Record, frozen=True):
    """Jackets of one size, good to the end of a day (service, cylinder and firing head, whichever is first)."""

    size: str
    count: int | None
    good_through: date | None


class Beacon(Record, frozen=True):
    """A distress beacon. Registered to this owner: null means not known."""

    code: str
    name: str
    battery_through: date | None
    registered_on: date | None
    registered_to_owner: bool | None


class Log(Record, frozen=True):
    """Newest log lines that a rule asks for."""

    lights_checked_at: Moment | None
    second_start_proved_at: Moment | None


class Boat(Record, frozen=True):
    """Everything about the boat herself."""

    vessel: Vessel
    equipment: tuple[Equipment, ...]
    functions: tuple[Function, ...]
    defects: tuple[Defect, ...] | None
    jobs: tuple[Job, ...] | None
    services: tuple[Service, ...] | None
    engine_hours_h: Reading
    engine_space_rise_k: Reading
    crank: CrankBattery | None
    bank: ShipBank | None
    loads: tuple[Load, ...]
    autopilot: Autopilot
    fuel: tuple[Tank, ...]
    fuel_runs: tuple[FuelRun, ...]
    consumables: tuple[Consumable, ...]
    lifejackets: tuple[Lifejackets, ...]
    beacons: tuple[Beacon, ...]
    log: Log
