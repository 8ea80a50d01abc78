"""Facts of the water and the weather: places, gates, tides, streams, the leg and the forecast along it."""

from typing import Annotated

from readiness.rules.record import Grid, Moment, Real, Record, unit
from readiness.rules.words_of_trade import Confidence, GateKind, StationKind, TrackKind


class Sector(Record, frozen=True):
    """Winds from `from_deg` clockwise through `to_deg` find shelter here; 0 to 360 is all round."""

    from_deg: Annotated[Real, unit("deg")]
    to_deg: Annotated[Real, unit("deg")]


class Place(Record, frozen=True):
    """A harbour, anchorage or quay. `charted_m`: depth below chart datum at the berth, drying negative."""

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


class Help(Record, frozen=True):
    """A keeper's promise to take lines: null `confirmed`: not asked or not known."""

    confirmed: bool | None
    name: str
    at: Moment | None


class Gate(Record, frozen=True):
    """Something that opens and shuts. A lock works about high water, a sill and a bar by height; any may keep hours.

    `before_s`, `after_s`: lock about high water. `level_m`: height of the sill or bar against `zero`, drying positive.
    `opens_local`, `closes_local`: seconds after local midnight of the place's zone; null: no hours to keep, which is
    only believed where `keeps_hours` is false. `hands`: besides the helm.
    """

    key: str
    name: str
    kind: GateKind
    place: str
    station: str | None
    before_s: Annotated[Real, unit("s")]
    after_s: Annotated[Real, unit("s")]
    level_m: Annotated[Real, unit("m")]
    zero: str | None
    keeps_hours: bool | None
    opens_local_s: Annotated[Real, unit("s")]
    closes_local_s: Annotated[Real, unit("s")]
    last_entry_s: Annotated[Real, unit("s")]
    hands: int | None
    help: Help
    wait_place: str | None


class Station(Record, frozen=True):
    """A tide station: constants or a printed table of high and low waters, in metres above `datum`.

    `differences_applied` null: nobody said whether the secondary port's differences are in the figures.
    """

    key: str
    name: str
    kind: StationKind
    datum: str | None
    unit: str | None
    source: str
    differences_applied: bool | None
    mean_level_m: Annotated[Real, unit("m")]
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
    straight line, unless the table says that they are held.
    """

    key: str
    name: str
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
    """From one point to the next. Null `exposed` counts as exposed; null `stream`: not known."""

    name: str
    kind: TrackKind
    exposed: bool | None
    crosses_bar: bool | None
    stream: str | None


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


class Departures(Record, frozen=True):
    """The departures that are judged at once: first, spacing and how many."""

    first: Moment
    every_s: Annotated[float, unit("s")]
    count: int


class Water(Record, frozen=True):
    """Everything about water and weather."""

    places: tuple[Place, ...]
    gates: tuple[Gate, ...]
    stations: tuple[Station, ...]
    streams: tuple[Stream, ...]
    forecast: Forecast | None
