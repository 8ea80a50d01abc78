"""The moon: printed phases and lit shares, and an ephemeris as second method over years and latitudes."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import skyfield_data  # type: ignore[import-untyped]
from hypothesis import given
from hypothesis import strategies as st
from skyfield import almanac
from skyfield.api import Loader, wgs84
from skyfield.framelib import ecliptic_frame

from readiness.calc.daylight import under_way
from readiness.calc.moon import (
    PHASES,
    lit_share,
    moon_above,
    moon_above_under_way,
    moon_altitude,
    moon_events,
    moon_place,
    phases,
)
from readiness.calc.track import wrapped
from readiness.calc.window import inside
from tests.published.read import half_a_unit, published
from vessel.units import DAY, HOUR, MINUTE, Array

LOAD = Loader(str(Path(skyfield_data.__file__).parent / "data"))
CLOCK = LOAD.timescale(builtin=True)
BODIES = LOAD("de421.bsp")


def epoch(text: str) -> float:
    return datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()


def moments(at: Array) -> Any:
    return CLOCK.from_datetimes([datetime.fromtimestamp(second, UTC) for second in at])


def some_times(count: int) -> tuple[Any, Array]:
    rng = np.random.default_rng(7)
    return rng, rng.uniform(epoch("1996-01-01"), epoch("2035-12-01"), count)


@pytest.mark.parametrize("row", published("moon_phases"), ids=lambda row: f"{row['at_utc']} {row['phase']}")
def test_the_phases_keep_to_the_printed_minute(row: dict[str, str]) -> None:
    start = epoch(row["from_utc"])

    at, names = phases(start, start + 5 * DAY)

    assert names == (row["phase"],)
    assert np.atleast_1d(at)[0] == pytest.approx(epoch(row["at_utc"]), abs=MINUTE)


@pytest.mark.parametrize("row", published("moon_lit"), ids=lambda row: row["at_utc"])
def test_the_lit_share_is_the_printed_one(row: dict[str, str]) -> None:
    lit = float(np.asarray(lit_share(epoch(row["at_utc"]))))

    assert abs(lit - float(row["lit"])) <= half_a_unit(row["lit"]) + 0.0005


def test_every_phase_of_four_years_is_there_within_a_minute() -> None:
    start, end = "2025-01-01", "2029-01-01"

    at, names = phases(epoch(start), epoch(end))

    theirs, which = almanac.find_discrete(*moments(np.array([epoch(start), epoch(end)])), almanac.moon_phases(BODIES))
    assert names == tuple(PHASES[number] for number in which)
    times = np.array([one.timestamp() for one in theirs.utc_datetime()])
    assert np.abs(np.asarray(at) - times).max() < MINUTE


def test_place_and_distance_agree_with_an_ephemeris() -> None:
    _, at = some_times(400)

    ours = moon_place(at)

    seen = BODIES["earth"].at(moments(at)).observe(BODIES["moon"]).apparent()
    latitude, longitude, distance = seen.frame_latlon(ecliptic_frame)
    assert np.abs(wrapped(ours.longitude_deg - longitude.degrees)).max() < 0.009
    assert np.abs(ours.latitude_deg - latitude.degrees).max() < 0.009
    assert np.abs(ours.distance_m - distance.m).max() < 70_000


def test_altitudes_agree_with_an_ephemeris_at_all_latitudes() -> None:
    rng, at = some_times(400)
    lat, lon = rng.uniform(-70, 70, 400), rng.uniform(-180, 180, 400)

    ours = moon_altitude(at, lat, lon)

    seen = (BODIES["earth"] + wgs84.latlon(lat, lon)).at(moments(at)).observe(BODIES["moon"])
    assert np.abs(ours - seen.apparent().altaz()[0].degrees).max() < 0.012


def test_lit_shares_agree_with_an_ephemeris() -> None:
    _, at = some_times(400)

    assert np.abs(lit_share(at) - almanac.fraction_illuminated(BODIES, "moon", moments(at))).max() < 0.0003


@pytest.mark.parametrize("month", ["1999-03-01", "2015-11-01", "2027-05-01", "2033-01-01"])
@pytest.mark.parametrize(("lat", "seconds"), [(-70, 60), (-52, 8), (0, 4), (46.5, 6), (60, 12), (70, 60)])
def test_rise_and_set_of_a_month_agree_with_an_ephemeris(lat: float, seconds: float, month: str) -> None:
    start, end = epoch(month), epoch(month) + 30 * DAY

    moon = moon_events(lat, -15.0, start, end)

    here, stretch = BODIES["earth"] + wgs84.latlon(lat, -15.0), moments(np.array([start, end]))
    for ours, find in (
        (moon.opens_at[moon.opens_known], almanac.find_risings),
        (moon.closes_at[moon.closes_known], almanac.find_settings),
    ):
        theirs, crosses = find(here, BODIES["moon"], *stretch)
        times = np.array([one.timestamp() for one in theirs.utc_datetime()])[np.asarray(crosses, bool)]
        assert ours.shape == times.shape
        assert np.abs(ours - times).max() < seconds


def test_at_seventy_degrees_it_stays_up_for_days_and_down_for_days() -> None:
    start = epoch("2027-05-01")

    moon = moon_events(70.0, 20.0, start, start + 30 * DAY)

    assert (moon.closes_at - moon.opens_at).max() > 3 * DAY
    assert (moon.opens_at[1:] - moon.closes_at[:-1]).max() > 3 * DAY


def test_some_day_of_every_month_has_no_moonrise() -> None:
    start = epoch("2027-05-01")

    moon = moon_events(46.5, -15.0, start, start + 30 * DAY)

    days = np.floor((moon.opens_at[moon.opens_known] - start) / DAY)
    assert set(range(30)) - set(days.astype(int))


@given(st.floats(-65, 65), st.floats(-180, 180), st.floats(0, 300))
def test_under_way_at_one_place_is_as_moored_there(lat: float, lon: float, days: float) -> None:
    at = epoch("2027-01-10") + days * DAY + np.arange(24.0) * HOUR
    still = under_way(at[[0, -1]], np.full(2, lat), np.full(2, lon))

    assert (moon_above_under_way(still)(at) == moon_above(lat, lon)(at)).all()


def test_what_is_not_known_is_neither_up_nor_down() -> None:
    at = np.array([epoch("2027-05-15T12:00"), np.nan])

    assert np.isnan(moon_above(46.5, -15.0)(at)).tolist() == [False, True]
    assert np.isnan(moon_above(np.nan, -15.0)(at)).all()
    assert np.isnan(np.asarray(moon_altitude(at, 46.5, -15.0))).tolist() == [False, True]
    assert np.isnan(np.asarray(lit_share(at))).tolist() == [False, True]
    held = moon_events(46.5, np.nan, at[0], at[0] + DAY)
    assert not inside(held, at[:1]).any()
