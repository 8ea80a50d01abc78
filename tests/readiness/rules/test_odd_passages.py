"""Odd legs, clocks and questions: each is judged, or refused in one sentence; none crashes and none reads better."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import msgspec
import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.engine import judge
from readiness.rules.facts import Facts, decode
from readiness.rules.judgement import Verdict
from readiness.rules.words_of_trade import TrackKind
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import forecast, leg, water
from tests.readiness.rules.damage import Document, Path, put, small, written
from vessel.errors import BadInput

WORKED = small(worked_example(1))
POINTS, SEGMENTS = WORKED.leg.points, WORKED.leg.segments


def _told(facts: Facts) -> list[str]:
    """Everything that is said of all departures, and that it can be said."""
    judged = judge(facts)
    return [one.say(index).sentence for one in judged.judgements for index in range(judged.passage.departures)]


def _at_latitude(lat_deg: float) -> Facts:
    return leg(WORKED, points=tuple(replace(one, lat_deg=lat_deg) for one in POINTS))


def _across_the_date_line() -> Facts:
    east = 179.6 - POINTS[0].lon_deg
    moved = [(point.lon_deg + east + 180.0) % 360.0 - 180.0 for point in POINTS]
    points = tuple(replace(point, lon_deg=lon) for point, lon in zip(POINTS, moved, strict=True))
    places = tuple(
        replace(place, lon_deg=(place.lon_deg + east + 180.0) % 360.0 - 180.0) for place in WORKED.water.places
    )
    return water(leg(WORKED, points=points), places=places)


def _five_hundred_points() -> Facts:
    along = np.linspace(POINTS[0].lon_deg, POINTS[-1].lon_deg, 500)
    points = tuple(replace(POINTS[0], name=f"P{number}", lon_deg=float(lon)) for number, lon in enumerate(along))
    return leg(WORKED, points=points, segments=tuple(replace(SEGMENTS[0], name=one.name) for one in points[1:]))


ODD: dict[str, Callable[[], Facts]] = {
    "no length": lambda: leg(WORKED, points=(POINTS[0], POINTS[0]), segments=SEGMENTS[:1]),
    "six points at one place": lambda: leg(WORKED, points=POINTS[:1] * 6),
    "a place named twice on the way": lambda: leg(
        WORKED, points=(*POINTS[:3], *POINTS[2:]), segments=(*SEGMENTS[:3], *SEGMENTS[2:])
    ),
    "500 points": _five_hundred_points,
    "across the date line": _across_the_date_line,
    "shorter than one look for a refuge": lambda: _at_latitude(89.9),
    "at the pole": lambda: _at_latitude(90.0),
    "half round the world": lambda: leg(
        WORKED,
        points=(replace(POINTS[0], lat_deg=0.0, lon_deg=0.0), replace(POINTS[5], lat_deg=0.0, lon_deg=180.0)),
        segments=(replace(SEGMENTS[0], kind=TrackKind.GEODESIC),),
    ),
    "no speed": lambda: leg(WORKED, speed_mps=0.0),
    "astern": lambda: leg(WORKED, speed_mps=-3.0),
    "faster than anything": lambda: leg(WORKED, speed_mps=1e9),
}


@pytest.mark.parametrize("odd", ODD)
def test_an_odd_leg_is_judged_and_told(odd: str) -> None:
    told = _told(ODD[odd]())

    assert all(told)
    assert not any(word in ("nan", "inf", "-inf") for sentence in told for word in sentence.lower().split())


@pytest.mark.parametrize("lat_deg", [90.001, -95.0, 1e6])
def test_a_place_beyond_the_pole_is_refused(lat_deg: float) -> None:
    with pytest.raises(BadInput, match="A latitude lies between 90° north and 90° south"):
        judge(_at_latitude(lat_deg))


def _moved(value: object, by: timedelta) -> object:
    """A document on another day, whatever in it has a moment."""
    if isinstance(value, dict):
        return {key: _moved(inner, by) for key, inner in value.items()}
    if isinstance(value, list):
        return [_moved(inner, by) for inner in value]
    if isinstance(value, str) and value.endswith("Z") and value.startswith("20"):
        return (datetime.fromisoformat(value) + by).isoformat()
    return value


DAYS = {
    "summer time begins": datetime(2027, 3, 28, tzinfo=UTC),
    "summer time ends": datetime(2027, 10, 31, tzinfo=UTC),
    "a leap day": datetime(2028, 2, 29, tzinfo=UTC),
    "seconds leave 32 bits": datetime(2038, 1, 19, tzinfo=UTC),
    "long ago": datetime(1907, 6, 14, tzinfo=UTC),
    "far ahead": datetime(2700, 1, 1, tzinfo=UTC),
}


@pytest.mark.parametrize("day", DAYS)
def test_an_odd_day_is_judged_and_told(day: str) -> None:
    by = timedelta(days=(DAYS[day] - JUDGED_AT).days + 1)

    facts = decode(msgspec.json.encode(_moved(written(WORKED), by)))

    assert facts.departures.first.date() == DAYS[day].date()
    assert all(_told(facts))


def _asked(**parts: object) -> Document:
    document = written(WORKED)
    document["departures"] |= parts
    return document


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        ({"count": 0}, "0 departures are asked for, 1 to 10,000 are judged at once"),
        ({"count": -1}, "-1 departures are asked for, 1 to 10,000 are judged at once"),
        ({"count": 10_001}, "10001 departures are asked for, 1 to 10,000 are judged at once"),
        ({"every_s": -900.0}, "do not follow each other within a year"),
        ({"every_s": 183 * 86_400 + 1.0}, "do not follow each other within a year"),
        ({"first": "9999-12-31T23:00:00Z"}, "first lies in the year 9999, which no boat has to do with"),
        ({"first": "0001-01-01T00:00:00Z"}, "first lies in the year 1, which no boat has to do with"),
    ],
)
def test_an_odd_question_is_refused(parts: dict[str, object], sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        decode(msgspec.json.encode(_asked(**parts)))

    assert sentence in str(refusal.value)


@pytest.mark.parametrize("count", [1, 3])
def test_the_last_question_within_bounds_is_answered(count: int) -> None:
    span = _asked(every_s=183 * 86_400.0, count=count)

    assert judge(decode(msgspec.json.encode(span))).verdict.shape == (count,)


MOMENTS: tuple[Path, ...] = (
    ("judged_at",), ("boat", "fuel", 0, "reading_l", "at"), ("boat", "defects", 0, "opened_at"),
    ("water", "forecast", "issued_at"), ("water", "forecast", "at", 0), ("water", "stations", 0, "event_at", 0),
    ("water", "stations", 0, "valid_to"), ("people", 0, "aboard", 0, "start"), ("contact", "told_at"),
)  # fmt: skip


@pytest.mark.parametrize("path", MOMENTS)
@pytest.mark.parametrize("year", ["0001", "1799", "3001", "9999"])
def test_a_moment_outside_all_time_is_refused_wherever_it_stands(path: Path, year: str) -> None:
    document = written(WORKED)
    put(document, path, f"{year}-06-01T00:00:00Z")

    with pytest.raises(BadInput, match=f"lies in the year {int(year)}, which no boat has to do with"):
        decode(msgspec.json.encode(document))


def _forecast_moved(days: float) -> Facts:
    held = WORKED.water.forecast
    assert held is not None
    return forecast(WORKED, at=tuple(one + timedelta(days=days) for one in held.at))


@pytest.mark.parametrize("days", [-30.0, 30.0])
def test_a_forecast_of_another_month_says_nothing_of_today(days: float) -> None:
    assert (judge(_forecast_moved(days)).verdict >= Verdict.CANNOT_SAY_YET).all()
