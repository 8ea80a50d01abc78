"""Worn steering in a following sea."""

from dataclasses import replace as replaced

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.judgement import Outcome
from readiness.rules.passage import Passage
from readiness.rules.worn_steering_in_following_sea import RULE
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    PASSAGE,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    harbour,
    judge,
    limited,
    meeting,
    out,
    stale,
    untimed,
    worst,
)

LIMIT = 0.08 * 12.2
ASTERN = meeting(exposed=True, sea_m=1.2, wave_from_deg=270.0, refuge_nmi=2.0)  # course 090
FLAT = meeting(ASTERN, sea_m=0.5)
WORN = degraded(SOUND, "ST-05")
BOTH = degraded(SOUND, "ST-02", "ST-05")


@pytest.mark.parametrize(
    ("facts", "following", "flat"),
    [
        (SOUND, Outcome.PASSED, Outcome.PASSED),
        (WORN, Outcome.CONDITION, Outcome.PASSED),
        (degraded(SOUND, "ST-02"), Outcome.CONDITION, Outcome.PASSED),
        (degraded(SOUND, "ST-01"), Outcome.PASSED, Outcome.PASSED),  # Steer is in service by the emergency way
        (BOTH, Outcome.NO_GO, Outcome.CONDITION),
        (degraded(SOUND, "ST-01", "ST-05"), Outcome.NO_GO, Outcome.CONDITION),
        (stale(SOUND, "ST-05"), Outcome.CONDITION, Outcome.PASSED),  # not proved good
        (doubtful(SOUND, "ST-05"), Outcome.CONDITION, Outcome.PASSED),
        (out(SOUND, "ST-05"), Outcome.CONDITION, Outcome.PASSED),
        (stale(BOTH, "ST-02", "ST-05"), Outcome.NO_GO, Outcome.CONDITION),
        (boat(SOUND, defects=None), Outcome.NO_GO, Outcome.CONDITION),
        (harbour(BOTH), Outcome.PASSED, Outcome.PASSED),
    ],
)
def test_each_worn_part_counts_and_the_following_sea_doubles_it(
    facts: Facts, following: Outcome, flat: Outcome
) -> None:
    assert answer(RULE, facts, ASTERN) == following
    assert answer(RULE, facts, FLAT) == flat


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (meeting(ASTERN, sea_m=LIMIT), Outcome.CONDITION),
        (meeting(ASTERN, sea_m=LIMIT - 0.001), Outcome.PASSED),
        (meeting(ASTERN, wave_from_deg=210.1), Outcome.CONDITION),
        (meeting(ASTERN, wave_from_deg=329.9), Outcome.CONDITION),
        (meeting(ASTERN, wave_from_deg=209.0), Outcome.PASSED),
        (meeting(ASTERN, wave_from_deg=331.0), Outcome.PASSED),
        (meeting(ASTERN, wave_from_deg=90.0), Outcome.PASSED),
        (meeting(ASTERN, exposed=False), Outcome.PASSED),
        (meeting(ASTERN, sea_m=NAN), Outcome.UNKNOWN),
        (meeting(ASTERN, wave_from_deg=NAN), Outcome.UNKNOWN),
        (meeting(ASTERN, wave_from_deg=NAN, sea_m=0.5), Outcome.PASSED),  # too low whatever its direction
        (meeting(ASTERN, wave_from_deg=90.0, sea_m=NAN), Outcome.PASSED),  # ahead whatever its height
        (meeting(ASTERN, exposed=False, sea_m=NAN), Outcome.PASSED),
        (untimed(FLAT), Outcome.UNKNOWN),
    ],
)
def test_height_and_direction_of_the_sea_on_exposed_water_decide(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, WORN, passage) == expected


@pytest.mark.parametrize(("reached", "ripens"), [(True, False), (False, True)])
def test_a_sea_that_is_not_forecast_yet_ripens(*, reached: bool, ripens: bool) -> None:
    found = {one.cause: one for one in judge(RULE, WORN, meeting(ASTERN, sea_m=NAN, reached=reached))}

    assert found["forecast", ""].ripens.tolist() == [ripens]  # type: ignore[union-attr]


def test_a_length_that_is_not_known_is_unknown_where_it_matters() -> None:
    unmeasured = boat(WORN, vessel=replace(WORN.boat.vessel, loa_m=NAN))
    sound = boat(SOUND, vessel=replace(SOUND.boat.vessel, loa_m=NAN))

    assert answer(RULE, unmeasured, ASTERN) == Outcome.UNKNOWN
    assert worst(RULE, unmeasured, ASTERN).cause == ("reading", "length overall")
    assert answer(RULE, sound, ASTERN) == Outcome.PASSED


def test_the_skipper_may_set_what_is_high() -> None:
    assert answer(RULE, limited(WORN, sea_advice_loa=0.1), ASTERN) == Outcome.PASSED


def test_the_worked_example_is_one_finding_with_the_emergency_steering() -> None:
    (found,) = judge(RULE, EXAMPLE)
    words = found.say(0)

    assert (found.cause, found.outcome.tolist()) == (("equipment", "ST-05"), [Outcome.CONDITION])
    assert words.sentence == (
        "Emergency steering is not good, with a sea of 1.2 m from astern, Skarn Narrows, in to Hallorn Pool, off."
    )
    assert words.sums == (("Sea from astern, limit 0.08 × 12.2 m = 0.98 m", "1.19 m"),)
    assert answer(RULE, EXAMPLE, meeting(PASSAGE, sea_m=0.9)) == Outcome.PASSED


def test_two_worn_parts_are_named() -> None:
    assert worst(RULE, BOTH, FLAT).say(0).sentence == "Main steering and emergency steering are not good, with any sea."
    assert worst(RULE, WORN, FLAT).say(0).margin == "0.47 m"


def late_only(metres: float) -> Passage:
    """A sea from astern that only the late figure meets, in the last mile."""
    sea = FLAT.weather.sea_m.copy()
    sea[:, -1] = metres
    return replaced(FLAT, weather=replaced(FLAT.weather, sea_m=sea))


@pytest.mark.parametrize(("refuges", "expected"), [(("vessary",), Outcome.CONDITION), ((), Outcome.NO_GO)])
def test_a_sea_only_the_late_figure_meets_is_a_condition_where_a_refuge_passes(
    refuges: tuple[str, ...], expected: Outcome
) -> None:
    facts = changed(BOTH, leg=replace(BOTH.leg, refuges=refuges, departure_place="nowhere"))

    found = worst(RULE, facts, late_only(1.2))

    assert answer(RULE, facts, late_only(1.2)) == expected
    ending = "whether to turn off for a refuge." if refuges else "No way out is named."
    assert found.say(0).sentence.endswith(ending)


def test_what_is_not_known_by_plan_eases_nothing() -> None:
    passage = late_only(1.2)
    unseen = replaced(passage.weather_at_plan, sea_m=np.full_like(passage.weather.sea_m, NAN))

    assert answer(RULE, BOTH, replaced(passage, weather_at_plan=unseen)) == Outcome.NO_GO
