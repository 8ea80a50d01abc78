from pathlib import Path

import numpy as np
import pytest

from readiness.calc.tide import TideTable, alternates, cosine_height, harmonic_height, high_low, high_low_of
from readiness.calc.tide_constituent import Factors
from tests.factories.tide import (
    demo_harmonics,
    epoch,
    even,
    height_at,
    outside_column,
    outside_files,
    outside_harmonics,
    published_events,
    published_harmonics,
)
from vessel.units import DAY, FOOT, HOUR, MINUTE, Array

STATIONS = ["jacksonville_beach", "smith_shoal", "clearwater_beach", "panama_city"]
START = epoch("2027-05-14T00:00Z")
WORKED = [
    ("2027-05-15T07:36Z", 1.60, False),
    ("2027-05-15T13:54Z", 3.64, True),
    ("2027-05-15T20:11Z", 1.52, False),
    ("2027-05-16T02:28Z", 3.72, True),
    ("2027-05-16T08:43Z", 1.43, False),
    ("2027-05-22T00:38Z", 0.65, False),
    ("2027-05-22T06:47Z", 4.54, True),
    ("2027-05-22T12:57Z", 0.67, False),
    ("2027-05-22T19:06Z", 4.52, True),
]


def nearest(table: TideTable, at: Array, high: Array) -> tuple[Array, Array]:
    """For each published event the nearest one of the same kind: minutes apart, and its height."""
    minutes, height = np.empty(at.size), np.empty(at.size)
    for i, (when, kind) in enumerate(zip(at, high, strict=True)):
        same = table.high == bool(kind)
        place = np.argmin(np.abs(table.at[same] - when))
        minutes[i] = abs(table.at[same][place] - when) / MINUTE
        height[i] = table.height_m[same][place]
    return minutes, height


@pytest.mark.parametrize("station", STATIONS)
def test_published_high_and_low_waters_come_out_to_their_printed_place_with_factors_of_the_year(station: str) -> None:
    at, metres, high = published_events(station)

    table = high_low_of(published_harmonics(station), float(at[0]) - DAY, float(at[-1]) + DAY, "year")
    minutes, height = nearest(table, at, high)

    assert at.size >= 20
    assert np.abs(height - metres).max() / FOOT < 0.0125  # printed to 0.01 ft, 37 constants to 0.001 m
    assert np.quantile(minutes, 0.95) < 0.6
    assert minutes.max() < 1.0


@pytest.mark.parametrize(("station", "limit_min"), [*[(name, 3.0) for name in STATIONS[:3]], ("panama_city", 10.0)])
def test_published_high_and_low_waters_are_met_with_factors_of_the_day(station: str, limit_min: float) -> None:
    at, metres, high = published_events(station)

    table = high_low_of(published_harmonics(station), float(at[0]) - DAY, float(at[-1]) + DAY)
    minutes, height = nearest(table, at, high)

    assert np.abs(height - metres).max() / FOOT < 0.05
    assert np.quantile(minutes, 0.95) < limit_min


def outside_limits(table: Path, factors: Factors) -> tuple[float, float]:
    """Metres at most, minutes for 95 of 100."""
    if table.name.startswith("VLISSGN"):
        return 0.05, 4.0
    if factors == "year":
        return 0.0155 * FOOT, 0.6
    if table.name.startswith(("9414290", "9446705")):
        return 0.11 * FOOT, 4.0
    return 0.05 * FOOT, 10.0 if table.name.startswith("8729108") else 3.0


@pytest.mark.parametrize("factors", ["day", "year"])
@pytest.mark.parametrize("file", outside_files("*_hilo_*.csv"), ids=lambda path: path.name)
def test_all_high_and_low_waters_present_are_met(file: Path, factors: Factors) -> None:
    at = outside_column(file, "utc")
    unit = 0.01 if file.name.startswith("VLISSGN") else FOOT
    metres = outside_column(file, "height") * unit
    high = np.array([line.rsplit(",", 1)[1].strip() == "H" for line in file.read_text("utf-8").splitlines()[1:]])
    metre_limit, minute_limit = outside_limits(file, factors)

    table = high_low_of(outside_harmonics(file), float(at[0]) - DAY, float(at[-1]) + DAY, factors)
    minutes, height = nearest(table, at, high)

    print(
        f"{file.name} {factors}: {at.size} events, at most {np.abs(height - metres).max() / unit:.4f} of the printed"
        f" unit, times 95 % within {np.quantile(minutes, 0.95):.2f} min, at most {minutes.max():.1f}"
    )
    assert np.abs(height - metres).max() < metre_limit
    assert np.quantile(minutes, 0.95) < minute_limit


@pytest.mark.parametrize(("moment", "metres", "high"), WORKED)
def test_worked_events_of_the_made_up_tide_come_out(moment: str, metres: float, high: bool) -> None:
    table = high_low_of(demo_harmonics(), epoch(moment) - 3 * HOUR, epoch(moment) + 3 * HOUR)

    assert table.high.tolist() == [high]
    assert table.at[0] == pytest.approx(epoch(moment), abs=30.5)
    assert table.height_m[0] == pytest.approx(metres, abs=0.0055)


@pytest.mark.parametrize("station", [*STATIONS, "vlissingen"])
def test_the_search_on_any_height_finds_the_same_events_to_a_second(station: str) -> None:
    harmonics = published_harmonics(station)

    by_constituents = high_low_of(harmonics, START, START + 40 * DAY)
    by_height = high_low(lambda at: harmonic_height(harmonics, at), START, START + 40 * DAY)

    assert by_height.high.tolist() == by_constituents.high.tolist()
    apart = np.abs(by_height.at - by_constituents.at)
    sharp = np.abs(np.diff(by_constituents.height_m, prepend=np.nan, append=np.nan))
    steep = np.fmin(sharp[:-1], sharp[1:]) > 0.02
    assert apart[steep].max() < 1.0
    np.testing.assert_allclose(by_height.height_m, by_constituents.height_m, atol=1e-5)


@pytest.mark.parametrize("station", [*STATIONS, "vlissingen"])
def test_every_event_stands_higher_or_lower_than_the_water_beside_it(station: str) -> None:
    harmonics = published_harmonics(station)
    table = high_low_of(harmonics, START, START + 60 * DAY)
    clear = np.flatnonzero(np.abs(np.diff(table.height_m, prepend=9.0, append=9.0)).reshape(-1)[:-1] > 0.02)

    for shift in (-10 * MINUTE, 10 * MINUTE):
        beside = height_at(harmonics, table.at + shift)
        higher = table.height_m > beside
        assert (higher[clear] == table.high[clear]).all()
    assert alternates(table).all()


def test_no_event_is_missed_against_a_search_minute_by_minute() -> None:
    harmonics = published_harmonics("vlissingen")
    at = even(START, 90 * 1440, MINUTE)
    height = height_at(harmonics, at)
    tops = np.flatnonzero((height[1:-1] > height[:-2]) & (height[1:-1] >= height[2:])) + 1

    table = high_low_of(harmonics, float(at[0]), float(at[-1]))

    assert table.high.sum() == tops.size
    assert np.abs(table.at[table.high] - at[tops]).max() <= MINUTE


def test_a_double_high_water_comes_out_as_two() -> None:
    def double(at: Array) -> Array:
        phase = 2 * np.pi * (np.asarray(at) - START) / (12 * HOUR)
        return np.cos(phase) - 0.4 * np.cos(2 * phase)

    table = high_low(double, START + 60, START + 24 * HOUR - 60)  # type: ignore[arg-type]

    assert table.high.sum() == 4
    assert (~table.high).sum() == 3
    expected = np.arccos(1 / 1.6) / (2 * np.pi) * 12 * HOUR
    assert table.at[0] - START == pytest.approx(expected, abs=1.0)


def test_a_diurnal_tide_has_one_high_water_a_day_at_large_declinations() -> None:
    table = high_low_of(published_harmonics("panama_city"), epoch("2017-12-01T00:00Z"), epoch("2017-12-08T00:00Z"))

    assert table.high.sum() == 7


def test_an_event_on_the_first_or_the_last_moment_is_in() -> None:
    whole = high_low_of(demo_harmonics(), START, START + DAY)
    first, last = float(whole.at[0]), float(whole.at[-1])

    again = high_low_of(demo_harmonics(), first, last)
    inner = high_low_of(demo_harmonics(), first + 2, last - 2)

    assert again.at.tolist() == pytest.approx(whole.at.tolist(), abs=0.05)
    assert inner.at.size == whole.at.size - 2


def test_events_of_a_printed_table_come_back_out_of_its_curve() -> None:
    table = high_low_of(demo_harmonics(), START, START + 3 * DAY)

    again = high_low(lambda at: cosine_height(table, at), START, START + 3 * DAY)

    np.testing.assert_allclose(again.at, table.at[1:-1], atol=1.0)
    np.testing.assert_allclose(again.height_m, table.height_m[1:-1], atol=1e-6)


def test_no_event_is_made_up_where_the_height_is_not_known_or_never_turns() -> None:
    assert high_low(lambda at: np.full(np.shape(at), np.nan), START, START + DAY).at.size == 0
    assert high_low(lambda at: np.zeros(np.shape(at)), START, START + DAY).at.size == 0
    assert high_low(lambda at: np.asarray(at) * 1e-6, START, START + DAY).at.size == 0


def test_a_high_water_beside_a_hole_is_not_made_up() -> None:
    table = high_low_of(demo_harmonics(), START, START + 3 * DAY)
    gone = float(table.at[4])

    def holed(at: Array) -> Array:
        height = np.asarray(cosine_height(table, at))
        return np.where(np.abs(np.asarray(at) - gone) < HOUR, np.nan, height)

    again = high_low(holed, START, START + 3 * DAY)  # type: ignore[arg-type]

    assert np.abs(again.at - gone).min() > 3 * HOUR
