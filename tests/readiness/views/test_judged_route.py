"""The chosen departure on the chart: the sentence above it, and where she is at full hours by plan."""

from datetime import UTC, datetime

import msgspec
import numpy as np
import pytest

from readiness.queries.coastline import Coast
from readiness.rules.engine import Judged, judge
from readiness.rules.facts import changed
from readiness.views.judged_route import _full_hours, route_of_choice
from tests.factories.worked_example import worked_example
from vessel.calc.wording import miles

NO_COAST = Coast((), (), ())


@pytest.fixture(scope="module")
def judged() -> Judged:
    return judge(worked_example(1))


def utc(*when: int) -> float:
    return datetime(*when, tzinfo=UTC).timestamp()  # type: ignore[misc, arg-type]


def test_the_sentence_tells_length_times_and_the_farthest_refuge(judged: Judged) -> None:
    sentence = route_of_choice(judged, 0, NO_COAST).sentence

    off = miles(float(judged.passage.refuge_m[0]))
    assert off.endswith(" nmi")
    assert sentence == (
        "48.0 nmi in 5 segments, leaving 07:30, there by plan 14:22; "
        f"never farther than {off} from a refuge she can use."
    )


def test_she_is_shown_at_each_full_hour_of_the_harbours_clock(judged: Judged) -> None:
    picture = route_of_choice(judged, 0, NO_COAST)

    assert [spot.name for spot in picture.moments] == [f"{hour:02d}:00" for hour in range(8, 15)]
    across = [float(spot.x) for spot in picture.moments]
    assert across == sorted(across)
    assert float(picture.points[0].x) < across[0] < float(picture.points[1].x)


def test_points_refuges_and_the_gate_are_named(judged: Judged) -> None:
    picture = route_of_choice(judged, 0, NO_COAST)

    assert [spot.gate for spot in picture.points][-1] == "Morrowick lock"
    assert len(picture.refuges) == len(judged.facts.leg.refuges)


def test_where_the_stream_is_not_known_nobody_can_tell_when_she_is_where(judged: Judged) -> None:
    facts = changed(judged.facts, water=msgspec.structs.replace(judged.facts.water, streams=()))

    picture = route_of_choice(judge(facts), 0, NO_COAST)

    assert picture.sentence == "48.0 nmi in 5 segments; when she is where is not known."
    assert picture.moments == []


@pytest.mark.parametrize(
    ("start", "end", "zone", "count", "first"),
    [
        ((2027, 5, 15, 6, 30), (2027, 5, 15, 9, 30), "UTC", 3, (2027, 5, 15, 7)),
        ((2027, 5, 15, 6), (2027, 5, 15, 8), "UTC", 1, (2027, 5, 15, 7)),
        ((2027, 5, 15, 6, 30), (2027, 5, 15, 6, 50), "UTC", 0, None),
        ((2027, 5, 15, 6, 30), (2027, 5, 16, 12, 30), "UTC", 10, (2027, 5, 15, 9)),
        ((2027, 5, 15, 6), (2027, 5, 15, 8), "Asia/Kolkata", 2, (2027, 5, 15, 6, 30)),
        ((2027, 5, 15, 6, 30), (2027, 5, 15, 9, 30), "Nowhere/Land", 3, (2027, 5, 15, 7)),
    ],
    ids=["hours", "ends left out", "too short", "every three hours", "a half-hour zone", "a zone that is none"],
)
def test_full_hours_strictly_between_two_moments(
    start: tuple[int, ...], end: tuple[int, ...], zone: str, count: int, first: tuple[int, ...] | None
) -> None:
    hours = _full_hours(utc(*start), utc(*end), zone)

    assert len(hours) == count
    assert first is None or hours[0] == utc(*first)
    assert all(utc(*start) < hour < utc(*end) for hour in hours)
    assert len(set(np.diff(hours))) <= 1
