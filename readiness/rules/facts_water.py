"""Facts of the water and the weather: places, gates, tides, streams, the leg and the forecast along it."""

from datetime import UTC, datetime
from typing import Annotated

from readiness.rules.record import Grid, Moment, Real, Record, unit
from readiness.rules.words_of_trade import (
    Confidence,
    GateKind,
    LandOnWay,
    StationKind,
    StreamBy,
    TrackKind,
    WarningKind,
)
from vessel.units import DAY


class Sector(Record, frozen=True):
    """Winds from `from_deg` clockwise through `to_deg` find shelter here; 0 to 360 is all round."""

    from_deg: Annotated[Real, unit("deg")]
    to_deg: Annotated[Real, unit("deg")]


class Place(Record, frozen=True):
    """A harbour, anchorage or quay. `charted_m`: depth below chart datum at the berth, drying negative.

    `night_price`: of one night for this vessel, in the money the skipper counts in.
    """

    key: str
    name: str
    zone: str
    lat_deg: Annotated[Real, unit("deg")]
    lon_deg: Annotated[Real, unit("deg")]
    charted_m: Annotated[Real, unit("m")]
    station: str | None
    gates: tuple[str, ...]
    shelter: tuple[Sector, ...]
    familiar: bool | None
    lit: bool | None
    night_price: Real


class Help(Record, frozen=True):
    """A keeper's promise to take lines: null `confirmed`: not asked or not known."""

    confirmed: bool | None
    name: str
    at: Moment | None


class Gate(Record, frozen=True):
    """Something that opens and shuts. A lock works about high water, a sill and a bar by height; any may keep hours.

    `place` null: it stands on the way, in no harbour, and `zone` is its own. `before_s`, `after_s`: lock about high
    water; `free_flow_before_s`, `free_flow_after_s`: both its gates stand open. `level_m`: height of the sill, bar or
    lock sill against `zero`, drying positive (a lock without `zero` has no sill of its own); of a bridge its headroom
    above `zero`. `fixed`: a bridge that never opens. `most_sea_m`: the bar is not crossed in a higher sea. `stream`,
    `most_rate_mps`: narrows are passed up to that rate. `opens_local`, `closes_local`: seconds after local midnight of
    its zone; null: no hours to keep, which is only believed where `keeps_hours` is false. `hands`: besides the helm.
    """

    key: str
    name: str
    kind: GateKind
    place: str | None
    zone: str | None
    station: str | None
    before_s: Annotated[Real, unit("s")]
    after_s: Annotated[Real, unit("s")]
    free_flow_before_s: Annotated[Real, unit("s")]
    free_flow_after_s: Annotated[Real, unit("s")]
    level_m: Annotated[Real, unit("m")]
    zero: str | None
    fixed: bool | None
    most_sea_m: Annotated[Real, unit("m")]
    stream: str | None
    most_rate_mps: Annotated[Real, unit("m/s")]
    keeps_hours: bool | None
    opens_local_s: Annotated[Real, unit("s")]
    closes_local_s: Annotated[Real, unit("s")]
    last_entry_s: Annotated[Real, unit("s")]
    hands: int | None
    help: Help
    wait_place: str | None


ALWAYS = (datetime(1800, 1, 1, tzinfo=UTC), datetime(3000, 1, 1, tzinfo=UTC))  # ends that nobody set


class Level(Record, frozen=True):
    """A level of the tide that other heights are given above, such as mean high water springs."""

    name: str
    height_m: Annotated[Real, unit("m")]


class Station(Record, frozen=True):
    """A tide station: constants or a printed table of high and low waters, in metres above `datum`.

    `differences_applied` null: nobody said whether the secondary port's differences are in the figures.
    `valid_from`, `valid_to`: the figures hold for these times; where nobody set an end, `ALWAYS` is stated.
    """

    key: str
    name: str
    kind: StationKind
    datum: str | None
    unit: str | None
    source: str
    differences_applied: bool | None
    mean_level_m: Annotated[Real, unit("m")]
    levels: tuple[Level, ...]
    valid_from: Moment | None
    valid_to: Moment | None
    constituents: tuple[str, ...]
    amplitude_m: Annotated[Grid, unit("m")]
    phase_utc_deg: Annotated[Grid, unit("deg")]
    speed_deg_per_h: Annotated[Grid, unit("deg/h")]
    event_at: tuple[Moment, ...]
    event_m: Annotated[Grid, unit("m")]
    event_high: tuple[bool, ...]


class Stream(Record, frozen=True):
    """A tidal stream table on a reference port: each row runs from its offset to the next; direction goes toward.

    A steady stream has one row at offset 0 and equal rates. Beyond neaps and springs the rates are carried on in a
    straight line, unless the table says that they are held. `lat_deg`, `lon_deg`: where it was observed.
    """

    key: str
    name: str
    lat_deg: Annotated[Real, unit("deg")]
    lon_deg: Annotated[Real, unit("deg")]
    steady: bool
    station: str | None
    from_high_water_s: Annotated[Grid, unit("s")]
    set_deg: Annotated[Grid, unit("deg")]
    rate_neaps_mps: Annotated[Grid, unit("m/s")]
    rate_springs_mps: Annotated[Grid, unit("m/s")]
    neaps_range_m: Annotated[Real, unit("m")]
    springs_range_m: Annotated[Real, unit("m")]
    rates_held_beyond: bool


class Point(Record, frozen=True):
    """A point of the leg. `depth_matters` false: deep by the chart; null counts as true."""

    name: str
    lat_deg: Annotated[Real, unit("deg")]
    lon_deg: Annotated[Real, unit("deg")]
    charted_m: Annotated[Real, unit("m")]
    depth_matters: bool | None
    station: str | None
    gate: str | None


class Segment(Record, frozen=True):
    """From one point to the next. Null `exposed` counts as exposed.

    `stream`: the table it names; where `stream_by` says so, the nearest table to each step, or the tables to either
    side of it, stand in its place. `shore_m`: how far off the nearest shore lies, `shore_to_deg`: which way. `land`: what
    the coastline says of the line, a word that is never left out: where none is drawn it was not looked.
    """

    name: str
    kind: TrackKind
    exposed: bool | None
    crosses_bar: bool | None
    stream_by: StreamBy
    stream: str | None
    shore_m: Annotated[Real, unit("m")]
    shore_to_deg: Annotated[Real, unit("deg")]
    land: LandOnWay


class Leg(Record, frozen=True):
    """One departure to one arrival. `running_on_s`: further running before fuel can be bought."""

    key: str
    name: str
    planned_at: Moment
    departure_place: str
    arrival_place: str
    harbour_move: bool
    points: tuple[Point, ...]
    segments: tuple[Segment, ...]
    refuges: tuple[str, ...]
    speed_mps: Annotated[Real, unit("m/s")]
    running_on_s: Annotated[Real, unit("s")]
    watch_plan_counts_autopilot: bool | None


class Members(Record, frozen=True):
    """The members of an ensemble, sampled as the forecast they belong to: every grid is [member, time, point]."""

    wind_east_mps: Annotated[Grid, unit("m/s")]
    wind_north_mps: Annotated[Grid, unit("m/s")]
    gust_mps: Annotated[Grid, unit("m/s")]
    wave_height_m: Annotated[Grid, unit("m")]
    wave_period_s: Annotated[Grid, unit("s")]
    wave_from_east: Annotated[Grid, unit("1")]
    wave_from_north: Annotated[Grid, unit("1")]


class Forecast(Record, frozen=True):
    """A forecast sampled along the track: every grid is [time, point], SI, null where missing.

    Wind vectors point where the air goes; waves are given by where they come from, as a unit vector.
    """

    source: str
    issued_at: Moment | None
    confidence: Confidence | None
    at: tuple[Moment, ...]
    along_m: Annotated[Grid, unit("m")]
    wind_east_mps: Annotated[Grid, unit("m/s")]
    wind_north_mps: Annotated[Grid, unit("m/s")]
    gust_mps: Annotated[Grid, unit("m/s")]
    wave_height_m: Annotated[Grid, unit("m")]
    wave_period_s: Annotated[Grid, unit("s")]
    wave_from_east: Annotated[Grid, unit("1")]
    wave_from_north: Annotated[Grid, unit("1")]
    visibility_m: Annotated[Grid, unit("m")]
    pressure_hpa: Annotated[Grid, unit("hPa")]
    air_c: Annotated[Grid, unit("degC")]
    sea_c: Annotated[Grid, unit("degC")]
    members: Members | None


class WeatherWarning(Record, frozen=True):
    """A warning in force from one moment to another; null: from before, or until it is lifted."""

    kind: WarningKind
    area: str
    start: Moment | None
    end: Moment | None
    text: str


class Warnings(Record, frozen=True):
    """What the warnings for these waters were when somebody looked; `items` empty: none in force.

    They speak for the time from `looked_at` to `good_to`, the end of the bulletin.
    """

    source: str
    looked_at: Moment | None
    good_to: Moment | None
    items: tuple[WeatherWarning, ...]


MOST_DEPARTURES = 10_000
LONGEST_SPAN_S = 366 * DAY


class Departures(Record, frozen=True):
    """The departures that are judged at once: first, spacing and how many; one at least, and within a year."""

    first: Moment
    every_s: Annotated[float, unit("s")]
    count: int

    def __post_init__(self) -> None:
        super().__post_init__()
        if not 1 <= self.count <= MOST_DEPARTURES:
            raise ValueError(f"{self.count} departures are asked for, 1 to {MOST_DEPARTURES:,} are judged at once")
        if not 0 <= self.every_s * (self.count - 1) <= LONGEST_SPAN_S:
            raise ValueError("the departures asked for do not follow each other within a year")


class Water(Record, frozen=True):
    """Everything about water and weather."""

    places: tuple[Place, ...]
    gates: tuple[Gate, ...]
    stations: tuple[Station, ...]
    streams: tuple[Stream, ...]
    forecast: Forecast | None
    warnings: Warnings | None
