"""What makes a rule stricter: true, false or not known."""

from itertools import product

import numpy as np
import pytest

from readiness.rules.circumstances import (
    all_of,
    any_of,
    any_step,
    circumstances,
    holds,
    negated,
    somewhere,
    weighed,
)
from readiness.rules.judgement import Outcome
from tests.factories.changed_boat import EXAMPLE, NAN, PASSAGE, meeting, untimed
from vessel.units import NAUTICAL_MILE

ANSWERS = (1.0, 0.0, NAN)


def possible(answer: float) -> tuple[bool, ...]:
    """What a three-valued answer may turn out to be."""
    return (True, False) if np.isnan(answer) else (bool(answer),)


def settled(outcomes: set[bool]) -> float:
    """The three-valued answer of all that may come out."""
    return NAN if len(outcomes) == 2 else float(outcomes.pop())


@pytest.mark.parametrize(("left", "right"), list(product(ANSWERS, ANSWERS)))
def test_or_and_not_are_what_every_possible_answer_gives(left: float, right: float) -> None:
    pairs = list(product(possible(left), possible(right)))
    one, other = np.array([left]), np.array([right])

    assert any_of(one, other)[0] == pytest.approx(settled({a or b for a, b in pairs}), nan_ok=True)
    assert all_of(one, other)[0] == pytest.approx(settled({a and b for a, b in pairs}), nan_ok=True)
    assert negated(one)[0] == pytest.approx(settled({not a for a in possible(left)}), nan_ok=True)


@pytest.mark.parametrize(
    ("steps", "expected"), [([0.0, 1.0, NAN], 1.0), ([0.0, NAN], NAN), ([0.0, 0.0], 0.0), ([], 0.0)]
)
def test_one_step_that_is_true_is_enough(steps: list[float], expected: float) -> None:
    assert any_step(np.array([steps]))[0] == pytest.approx(expected, nan_ok=True)


def test_a_number_or_a_limit_that_is_not_known_gives_no_answer() -> None:
    found = [float(holds(np.less, value, limit)) for value, limit in ((1.0, 2.0), (2.0, 2.0), (NAN, 2.0), (1.0, NAN))]

    assert found == pytest.approx([1.0, 0.0, NAN, NAN], nan_ok=True)
    assert somewhere(np.less, np.array([[3.0, 1.0, NAN]]), 2.0).tolist() == [1.0]


def test_where_the_answer_is_missing_the_milder_stands_and_the_gap_is_told() -> None:
    answer = np.array([1.0, 0.0, NAN])

    outcome, undecided = weighed(answer, Outcome.NO_GO, Outcome.CONDITION)
    same, _ = weighed(answer, Outcome.NO_GO, Outcome.NO_GO)

    assert outcome.tolist() == [Outcome.NO_GO, Outcome.CONDITION, Outcome.CONDITION]
    assert undecided.tolist() == [False, False, True]
    assert same.tolist() == [Outcome.NO_GO] * 3
    assert not weighed(answer, Outcome.NO_GO, Outcome.NO_GO)[1].any()


@pytest.mark.parametrize(
    ("name", "on_the_limit", "beyond"),
    [
        ("night", meeting(sun_deg=-6.0), meeting(sun_deg=-6.001)),
        ("lights_due", meeting(sun_deg=-0.833), meeting(sun_deg=-0.834)),
        ("poor_visibility", meeting(visibility_m=2 * NAUTICAL_MILE), meeting(visibility_m=2 * NAUTICAL_MILE - 1)),
        ("far", meeting(refuge_nmi=12.0), meeting(refuge_nmi=12.001)),
        ("cold", meeting(sea_c=15.0), meeting(sea_c=14.99)),
    ],
)
def test_each_circumstance_begins_beyond_its_limit(name: str, on_the_limit: object, beyond: object) -> None:
    found = [getattr(circumstances(EXAMPLE, passage), name).tolist() for passage in (on_the_limit, beyond)]  # type: ignore[arg-type]

    assert found == [[0.0], [1.0]]


def test_easy_circumstances_are_day_shelter_and_a_refuge_near() -> None:
    easy = meeting(sun_deg=10.0, exposed=False, refuge_nmi=3.0)

    assert circumstances(EXAMPLE, easy).easy.tolist() == [1.0]
    for parts in ({"sun_deg": -7.0}, {"exposed": True}, {"refuge_nmi": 3.1}):
        assert circumstances(EXAMPLE, meeting(easy, **parts)).easy.tolist() == [0.0]
    assert np.isnan(circumstances(EXAMPLE, meeting(untimed(easy), refuge_nmi=NAN)).easy).all()
    assert PASSAGE.departures == 1
