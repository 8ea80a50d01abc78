"""Losing, blanking, ageing or damaging any part of the facts never moves a departure toward go, and never crashes."""

from collections.abc import Iterator
from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.factories.worked_example import worked_example
from tests.readiness.rules.damage import (
    GONE,
    Document,
    Path,
    at,
    damages,
    good_news,
    paths,
    put,
    ranks,
    small,
    written,
)
from tests.readiness.rules.full_day import full_day
from tests.readiness.rules.worse import WORSE

BATCHES = 20
AS_IT_IS = "as it is"
EVERY_DAY = {AS_IT_IS: full_day, **WORSE}
ALIKE, OF_ALIKE = ("boat", "equipment"), 5  # of a hundred of a kind, each field is lost in twenty, another on each
THIRSTY = "thirstier than her table"
NEW_WAYS_DOWN = [("boat", "fuel_runs"), ("boat", "vessel")]


def document(day: str) -> Document:
    """A fresh copy of the document of one of the days."""
    return written(small(EVERY_DAY[day](worked_example(1))))


@cache
def places(day: str) -> tuple[Path, ...]:
    """Every path of the document of a day."""
    return tuple(paths(document(day)))


@cache
def whole(day: str) -> Any:
    """How far from go each departure of a day is, undamaged."""
    return ranks(document(day))


def losses(value: Any) -> Iterator[Any]:
    """Gone, and blank; a list or a text empty besides."""
    return (damage for damage in damages(value) if damage is GONE or damage is None or damage in ([], ""))


def looked_at(path: Path) -> bool:
    """Whether a path is tried, of those of the many things that are alike."""
    return path[:2] != ALIKE or len(path) < 4 or (int(path[2]) + len(str(path[3]))) % OF_ALIKE == 0


@pytest.mark.parametrize("batch", range(BATCHES))
def test_no_single_loss_is_good_news(batch: int) -> None:
    held, before = document(AS_IT_IS), whole(AS_IT_IS)

    told = [
        (path, "gone" if loss is GONE else loss)
        for path in list(filter(looked_at, places(AS_IT_IS)))[batch::BATCHES]
        for loss in losses(at(held, path))
        if good_news(held, before, path, loss)
    ]

    assert told == []


@pytest.mark.parametrize("day", [THIRSTY, "slow in a sea"])
def test_no_loss_from_what_she_burns_and_keeps_of_her_speed_is_good_news(day: str) -> None:
    held, before = document(day), whole(day)

    told = [
        (path, "gone" if loss is GONE else loss)
        for path in places(day)
        if path[:2] in NEW_WAYS_DOWN
        for loss in losses(at(held, path))
        if good_news(held, before, path, loss)
    ]

    assert told == []


@pytest.mark.parametrize("day", WORSE)
def test_a_bad_day_blocks_or_asks_for_something_and_half_of_it_does_not_read_better(day: str) -> None:
    held, before = document(day), whole(day)
    wanted = [path for path in places(day) if path[:2] != ("boat", "equipment")]
    chosen = np.random.default_rng(len(day)).choice(len(wanted), 10, replace=False)

    told = [
        (wanted[number], "gone" if damage is GONE else damage)
        for number in chosen
        for damage in damages(at(held, wanted[number]))
        if good_news(held, before, wanted[number], damage)
    ]

    assert before.max() > 0
    assert told == []


@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    day=st.sampled_from(sorted(EVERY_DAY)),
    spots=st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 10)), min_size=1, max_size=5),
)
def test_no_damages_together_are_good_news(day: str, spots: list[tuple[int, int]]) -> None:
    held, known = document(day), places(day)

    for spot, kind in spots:
        path = known[spot % len(known)]
        value = at(held, path)
        if value is not GONE:
            choices = damages(value)
            put(held, path, choices[kind % len(choices)])
    after = ranks(held)

    assert after is None or bool((after >= whole(day)).all())


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    day=st.sampled_from(sorted(EVERY_DAY)),
    spots=st.lists(st.integers(0, 10**6), min_size=1, max_size=12),
)
def test_no_numbers_blanked_together_are_good_news(day: str, spots: list[int]) -> None:
    held = document(day)
    numbers = [path for path in places(day) if isinstance(at(held, path), float) and path[0] != "limits"]

    for spot in spots:
        put(held, numbers[spot % len(numbers)], None)
    after = ranks(held)

    assert after is None or bool((after >= whole(day)).all())


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(day=st.sampled_from(sorted(EVERY_DAY)), spot=st.integers(0, 10**6), value=st.floats(allow_nan=False))
def test_no_number_however_absurd_crashes_the_judging(day: str, spot: int, value: float) -> None:
    held = document(day)
    numbers = [path for path in places(day) if isinstance(at(held, path), float)]

    put(held, numbers[spot % len(numbers)], value if np.isfinite(value) else 1e308)
    after = ranks(held)

    assert after is None or after.shape == whole(day).shape
