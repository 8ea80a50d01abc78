"""The sun: printed times, an ephemeris as second method, and the quick way against the full one."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import skyfield_data  # type: ignore[import-untyped]
from hypothesis import given
from hypothesis import strategies as st
from skyfield import almanac
from skyfield.api import Loader, wgs84
from skyfield.framelib import ecliptic_frame

from readiness.calc.daylight import (
    CIVIL,
    NAUTICAL,
    RISE_AND_SET,
    sun_above,
    sun_above_under_way,
    sun_altitude,
    sun_altitude_along,
    sun_events,
    sun_longitude,
    sun_place,
    sun_transits,
    under_way,
)
from readiness.calc.track import wrapped
from readiness.calc.window import inside, windows
from tests.published.read import published
from vessel.units import DAY, HOUR, MINUTE

EPHEMERIS = Path(skyfield_data.__file__).parent / "data"


def epoch(text: str) -> float:
    return datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()


def found(row: dict[str, str]) -> float:
    """The one time of a printed event that our own search gives, within a day from `from_utc`."""
    lat, lon, start = float(row["lat_deg"]), float(row["lon_deg"]), epoch(row["from_utc"])
    if row["event"] == "transit":
        (at,) = np.atleast_1d(sun_transits(lon, start, start + DAY))
        return float(at)
    sun = sun_events(lat, lon, start, start + DAY, float(row["altitude_deg"]))
    times, certain = (sun.opens_at, sun.opens_known) if row["event"] == "rise" else (sun.closes_at, sun.closes_known)
    (at,) = times[certain]
    return float(at)


@pytest.mark.parametrize(
    "row", published("sun"), ids=lambda row: f"{row['at_utc']} {row['event']} {row['altitude_deg']}"
)
def test_the_sun_keeps_to_the_printed_minute(row: dict[str, str]) -> None:
    assert found(row) == pytest.approx(epoch(row["at_utc"]), abs=MINUTE)


@pytest.mark.parametrize("row", published("sun_to_the_second"), ids=lambda row: row["event"])
def test_the_sun_keeps_to_the_printed_second_within_five(row: dict[str, str]) -> None:
    assert found(row) == pytest.approx(epoch(row["at_utc"]), abs=5.0)


@pytest.mark.parametrize(
    ("altitude", "rise", "set_"), [(RISE_AND_SET, "05:27", "20:27"), (CIVIL, None, "21:02")], ids=["sun", "twilight"]
)
def test_the_sun_of_the_worked_day(altitude: float, rise: str | None, set_: str) -> None:
    start = epoch("2027-05-15T00:00")

    sun = sun_events(46.5, -15.0, start, start + DAY, altitude)

    assert sun.closes_at[-1] == pytest.approx(epoch(f"2027-05-15T{set_}"), abs=35.0)
    assert rise is None or sun.opens_at[0] == pytest.approx(epoch(f"2027-05-15T{rise}"), abs=35.0)


@pytest.mark.parametrize(("day", "up"), [("2019-06-05", True), ("2019-12-20", False)])
def test_where_the_sun_does_not_set_or_rise_there_is_no_event(day: str, up: bool) -> None:
    start = epoch(f"{day}T00:00")

    sun = sun_events(69.6, 18.95, start, start + DAY)

    assert not sun.opens_known.any()
    assert not sun.closes_known.any()
    assert inside(sun, start + np.arange(24.0) * HOUR).all() == up
    assert inside(sun, start + np.arange(24.0) * HOUR).any() == up


def test_altitudes_agree_with_an_ephemeris() -> None:
    load = Loader(str(EPHEMERIS))
    bodies, clock = load("de421.bsp"), load.timescale(builtin=True)
    rng = np.random.default_rng(7)
    at = rng.uniform(epoch("1996-01-01T00:00"), epoch("2035-12-31T00:00"), 200)
    lat, lon = rng.uniform(-65, 65, 200), rng.uniform(-180, 180, 200)

    ours = sun_altitude(at, lat, lon)

    moment = clock.from_datetimes([datetime.fromtimestamp(second, UTC) for second in at])
    astrometric = (bodies["earth"] + wgs84.latlon(lat, lon)).at(moment).observe(bodies["sun"])
    theirs = astrometric.apparent().altaz()[0].degrees
    # theirs is seen from the surface: the sun's parallax, 0.0024 deg at most, is not in ours
    assert np.abs(ours - theirs).max() < 0.012


def test_declination_stays_between_the_tropics() -> None:
    year = epoch("2027-01-01T00:00") + DAY * np.arange(366.0)

    declination, _ = sun_place(year)

    assert declination.max() == pytest.approx(23.44, abs=0.01)
    assert declination.min() == pytest.approx(-23.44, abs=0.01)


@given(st.floats(-65, 65), st.floats(-180, 180), st.floats(0, 20))
def test_the_quick_way_along_a_track_equals_the_full_one(lat: float, lon: float, days: float) -> None:
    at = epoch("2027-03-10T00:00") + np.linspace(0, days, 30).reshape(5, 6) * DAY
    places = lat + np.linspace(-1, 1, 6), lon + np.linspace(-1, 1, 6)

    assert np.abs(sun_altitude_along(at, *places) - sun_altitude(at, *places)).max() < 1e-4


def test_a_time_that_is_not_known_has_no_altitude() -> None:
    at = np.array([epoch("2027-05-15T12:00"), np.nan])

    assert np.isnan(sun_altitude(at, 46.5, -15.0)).tolist() == [False, True]
    assert np.isnan(sun_altitude_along(at, 46.5, -15.0)).tolist() == [False, True]
    assert np.isnan(sun_altitude_along(at[1:], 46.5, -15.0)).all()
    assert np.isnan(sun_above(46.5, -15.0)(at)).tolist() == [False, True]


@pytest.mark.parametrize("level", [RISE_AND_SET, CIVIL, NAUTICAL])
@pytest.mark.parametrize("lat", [-70.0, -66.0, 62.0, 69.6, 74.0])
@pytest.mark.parametrize("month", ["2019-03-10", "2019-06-01", "2027-12-10"])
def test_high_latitudes_agree_with_an_ephemeris_also_where_it_stays_up_or_down(
    month: str, lat: float, level: float
) -> None:
    load, start = Loader(str(EPHEMERIS)), epoch(month)
    bodies, clock = load("de421.bsp"), load.timescale(builtin=True)
    here = bodies["earth"] + wgs84.latlon(lat, 18.95)
    stretch = [clock.from_datetime(datetime.fromtimestamp(at, UTC)) for at in (start, start + 10 * DAY)]

    sun = sun_events(lat, 18.95, start, start + 10 * DAY, level)

    for ours, find in (
        (sun.opens_at[sun.opens_known], almanac.find_risings),
        (sun.closes_at[sun.closes_known], almanac.find_settings),
    ):
        theirs, crosses = find(here, bodies["sun"], *stretch, horizon_degrees=level)
        times = np.array([one.timestamp() for one in theirs.utc_datetime()])[np.asarray(crosses, bool)]
        assert ours.shape == times.shape
        assert np.abs(ours - times).max(initial=0.0) < MINUTE


def test_twilight_lasts_all_night_in_the_north_in_june() -> None:
    start = epoch("2027-06-20T12:00")

    light = [sun_events(60.0, 18.95, start, start + DAY, level) for level in (RISE_AND_SET, CIVIL, NAUTICAL)]

    assert [bool(one.closes_known.any()) for one in light] == [True, True, False]
    assert inside(sun_events(62.0, 18.95, start, start + DAY, CIVIL), start + np.arange(24.0) * HOUR).all()


def test_an_event_under_way_is_met_where_she_is() -> None:
    start = epoch("2027-05-15T12:00")
    where = under_way(start + np.array([0.0, 12 * HOUR]), np.array([46.5, 46.5]), np.array([-15.0, -13.0]))

    sun = windows(sun_above_under_way(where, CIVIL), start, start + 12 * HOUR, 4 * MINUTE)

    (dusk,) = sun.closes_at
    lat, lon = (float(one) for one in where(np.array(dusk)))
    assert float(sun_altitude(dusk, lat, lon)) == pytest.approx(CIVIL, abs=0.001)
    assert dusk == pytest.approx(sun_events(lat, lon, start, start + DAY, CIVIL).closes_at[0], abs=1.0)
    assert dusk < sun_events(46.5, -15.0, start, start + DAY, CIVIL).closes_at[0] - 4 * MINUTE


def test_over_the_date_line_she_goes_the_short_way() -> None:
    where = under_way(np.array([0.0, 2.0]), np.array([10.0, 12.0]), np.array([179.0, -179.0]))

    lat, lon = where(np.array([1.0, -0.1, 2.1, np.nan]))

    assert lat[0] == pytest.approx(11.0)
    assert lon[0] % 360 == pytest.approx(180.0)
    assert np.isnan(lat[1:]).all()
    assert np.isnan(lon[1:]).all()


def test_the_longitude_of_the_sun_agrees_with_an_ephemeris() -> None:
    load = Loader(str(EPHEMERIS))
    bodies, clock = load("de421.bsp"), load.timescale(builtin=True)
    at = np.random.default_rng(5).uniform(epoch("1996-01-01T00:00"), epoch("2035-12-01T00:00"), 200)

    ours = sun_longitude(at)

    moment = clock.from_datetimes([datetime.fromtimestamp(second, UTC) for second in at])
    theirs = bodies["earth"].at(moment).observe(bodies["sun"]).apparent().frame_latlon(ecliptic_frame)[1].degrees
    assert np.abs(wrapped(ours - theirs)).max() < 0.005
