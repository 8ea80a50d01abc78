"""Limits the skipper may set, each with its default and the bounds it must stay in.

A limit that a publication fixes is a constant in its rule's file. A limit outside its bounds is refused when the
facts are read. Units stand in the names; speeds are held in m/s and shown in knots.

Source: own defaults [own] unless the rule says otherwise.
"""

from typing import Annotated

import msgspec

from readiness.rules.record import Record
from vessel.units import DAY, HOUR, KNOT, MINUTE, NAUTICAL_MILE


def between(low: float, high: float, unit: str) -> msgspec.Meta:
    """Bounds and unit of a limit, kept in the JSON Schema too."""
    return msgspec.Meta(ge=low, le=high, extra_json_schema={"unit": unit})


def around(default: float, unit: str) -> msgspec.Meta:
    """Bounds of 30 % to either side of the default."""
    return between(0.7 * default, 1.3 * default, unit)


class Limits(Record, frozen=True):
    """Every limit a skipper may set. Unset means the default printed here."""

    # boat
    service_tolerance: Annotated[float, between(0.0, 0.25, "1")] = 0.10
    emergency_steering_keeps_s: Annotated[float, between(91 * DAY, 731 * DAY, "s")] = 365 * DAY
    emergency_steering_refuge_m: Annotated[float, around(6 * NAUTICAL_MILE, "m")] = 6 * NAUTICAL_MILE
    crank_rested_ok_v: Annotated[float, between(12.3, 12.6, "V per 12 V")] = 12.50
    crank_rested_no_go_v: Annotated[float, between(12.0, 12.3, "V per 12 V")] = 12.20
    bank_floor: Annotated[float, between(0.15, 0.6, "1")] = 0.50
    near_m: Annotated[float, around(3 * NAUTICAL_MILE, "m")] = 3 * NAUTICAL_MILE
    far_m: Annotated[float, around(12 * NAUTICAL_MILE, "m")] = 12 * NAUTICAL_MILE
    cold_sea_c: Annotated[float, between(10.0, 20.0, "degC")] = 15.0
    lights_checked_s: Annotated[float, between(12 * HOUR, 48 * HOUR, "s")] = 24 * HOUR
    oil_reserve: Annotated[float, between(1.2, 5.0, "1")] = 3.0
    # people
    single_watch_s: Annotated[float, between(3 * HOUR, 8 * HOUR, "s")] = 4 * HOUR
    helm_ok_s: Annotated[float, around(4 * HOUR, "s")] = 4 * HOUR
    helm_no_go_s: Annotated[float, between(4 * HOUR, 8 * HOUR, "s")] = 6 * HOUR
    # weather
    forecast_fresh_s: Annotated[float, between(3 * HOUR, 12 * HOUR, "s")] = 6 * HOUR
    mean_wind_advice_mps: Annotated[float, around(17 * KNOT, "m/s")] = 17 * KNOT
    mean_wind_condition_mps: Annotated[float, between(15 * KNOT, 27 * KNOT, "m/s")] = 22 * KNOT
    mean_wind_no_go_mps: Annotated[float, between(20 * KNOT, 33 * KNOT, "m/s")] = 28 * KNOT
    sea_advice_loa: Annotated[float, around(0.08, "length overall")] = 0.08
    sea_condition_loa: Annotated[float, around(0.125, "length overall")] = 0.125
    sea_no_go_loa: Annotated[float, around(0.20, "length overall")] = 0.20
    steepness_condition: Annotated[float, between(0.04, 0.07, "1")] = 0.050
    steepness_no_go: Annotated[float, between(0.04, 0.07, "1")] = 0.065
    gust_condition_mps: Annotated[float, around(28 * KNOT, "m/s")] = 28 * KNOT
    gust_no_go_mps: Annotated[float, around(34 * KNOT, "m/s")] = 34 * KNOT
    harbour_gust_condition_mps: Annotated[float, around(22 * KNOT, "m/s")] = 22 * KNOT
    harbour_gust_no_go_mps: Annotated[float, around(28 * KNOT, "m/s")] = 28 * KNOT
    beam_sea_condition_loa: Annotated[float, around(0.10, "length overall")] = 0.10
    beam_sea_no_go_loa: Annotated[float, around(0.16, "length overall")] = 0.16
    beam_sea_steepness: Annotated[float, around(0.040, "1")] = 0.040
    slack_passed_s: Annotated[float, between(2 * HOUR, 12 * HOUR, "s")] = 6 * HOUR
    slack_advice_s: Annotated[float, between(2 * HOUR, 12 * HOUR, "s")] = 3 * HOUR
    lee_shore_m: Annotated[float, around(2 * NAUTICAL_MILE, "m")] = 2 * NAUTICAL_MILE
    # water
    under_keel_m: Annotated[float, between(0.2, 1.0, "m")] = 0.30
    height_doubt_m: Annotated[float, between(0.1, 0.5, "m")] = 0.20
    makes_way_passed_mps: Annotated[float, around(2 * KNOT, "m/s")] = 2 * KNOT
    refuge_reach_s: Annotated[float, between(2 * HOUR, 6 * HOUR, "s")] = 4 * HOUR
    lock_last_entry_s: Annotated[float, between(0.0, 60 * MINUTE, "s")] = 15 * MINUTE
    # stores and plan
    fuel_ok: Annotated[float, between(1.25, 2.0, "1")] = 1.50
    fuel_no_go: Annotated[float, between(1.25, 2.0, "1")] = 1.25
    overdue_after_s: Annotated[float, around(1 * HOUR, "s")] = 1 * HOUR
