import numpy as np
import pytest

from readiness.calc.tide import TideTable, high_low_of
from readiness.calc.tide_check import EDGE, NEAR, events_apart, heights_apart, nearest_apart, well_inside
from tests.factories.tide import epoch, even, height_at, published_harmonics
from vessel.units import DAY, HOUR, MINUTE

START = epoch("2017-01-20T00:00Z")
STATION = published_harmonics("jacksonville_beach")


def events(days: float = 9.0) -> TideTable:
    return high_low_of(STATION, START, START + days * DAY)


def test_a_tide_is_nowhere_apart_from_itself() -> None:
    at = even(START, 500, 10 * MINUTE)

    heights = np.asarray(heights_apart(STATION, at, height_at(STATION, at), None))
    turns = events_apart(STATION, events(), None)

    assert np.abs(heights).max() < 1e-12
    assert np.abs(turns.seconds).max() < 0.05
    assert np.abs(turns.metres).max() < 1e-6


def test_the_year_of_an_agency_turns_by_its_own_clock() -> None:
    """An hour ahead of UTC, 23:30 UTC is in the new year already."""
    at = np.array([epoch("2018-12-31T22:30Z"), epoch("2018-12-31T23:30Z")])
    held = [float(np.mean([epoch(f"{year - 1}-12-31T23:00Z"), epoch(f"{year}-12-31T23:00Z")])) for year in (2018, 2019)]
    by_hand = np.array([height_at(STATION, at[i : i + 1], held[i])[0] for i in range(2)])

    apart = np.asarray(heights_apart(STATION, at, by_hand, HOUR))

    assert np.abs(apart).max() < 1e-12
    assert abs(np.asarray(heights_apart(STATION, at, by_hand, 0.0))[1]) > 1e-4


def test_each_published_event_is_held_against_the_nearest_of_its_kind() -> None:
    ours = TideTable(np.array([0.0, 6.0, 12.0]) * HOUR, np.array([1.0, 3.0, 1.2]), np.array([False, True, False]))
    published = TideTable(np.array([0.1, 5.5, 11.9]) * HOUR, np.array([1.1, 3.0, 1.0]), np.array([False, True, False]))

    apart = nearest_apart(published, ours)

    assert apart.seconds / MINUTE == pytest.approx([-6.0, 30.0, 6.0])
    assert apart.metres == pytest.approx([-0.1, 0.0, 0.2])


@pytest.mark.parametrize(("seconds", "found"), [(NEAR, True), (NEAR + 1, False)])
def test_an_event_with_none_near_enough_is_not_found(seconds: float, found: bool) -> None:
    ours = TideTable(np.array([0.0]), np.array([1.0]), np.array([True]))
    published = TideTable(np.array([seconds]), np.array([1.0]), np.array([True]))

    apart = nearest_apart(published, ours)

    assert np.isfinite(apart.seconds).tolist() == [found]
    assert np.isfinite(apart.metres).tolist() == [found]


def test_an_event_of_which_kind_there_is_none_is_not_found() -> None:
    ours = TideTable(np.array([0.0]), np.array([1.0]), np.array([True]))

    apart = nearest_apart(TideTable(np.array([0.0]), np.array([1.0]), np.array([False])), ours)

    assert np.isnan(apart.seconds).all()


def test_events_near_an_end_or_a_gap_of_the_reference_are_left_out() -> None:
    whole = events(20.0)
    hole = (whole.at > START + 9 * DAY) & (whole.at < START + 12 * DAY)
    reference = TideTable(whole.at[~hole], whole.height_m[~hole], whole.high[~hole])

    inside = well_inside(whole, reference)

    spells = [(reference.at[0], START + 9 * DAY), (START + 12 * DAY, reference.at[-1])]
    by_hand = [at for at in whole.at if any(first + EDGE < at < last - EDGE for first, last in spells)]
    assert inside.at.size == pytest.approx(len(by_hand), abs=2)  # the last event before the gap is not at its very edge
    assert 50 < inside.at.size < reference.at.size - 6
    assert not ((inside.at > START + 9 * DAY - EDGE) & (inside.at < START + 12 * DAY + EDGE)).any()
