"""Hatches, doors and windows shut tight."""

from dataclasses import replace as replaced

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.judgement import Outcome
from readiness.rules.openings_shut import RULE
from readiness.rules.passage import Passage
from readiness.rules.words_of_trade import GateKind, JobStatus, Kind, Opens
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    harbour,
    judge,
    meeting,
    out,
    stale,
    with_job,
    worst,
)

FLAT = meeting(exposed=True, sea_m=0.499)
OPEN = out(SOUND, "HU-07")


def opened(status: JobStatus | None, equipment: str | None = "HU-08") -> Facts:
    """A job that has a hatch open."""
    return with_job(SOUND, status, opens=(Opens.OPENING,), opens_equipment=equipment)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (SOUND, Outcome.PASSED),
        (EXAMPLE, Outcome.PASSED),  # resealed windows owe a test, which is judged elsewhere
        (stale(SOUND, "HU-07"), Outcome.PASSED),
        (degraded(SOUND, "HU-07"), Outcome.CONDITION),
        (OPEN, Outcome.CONDITION),
        (doubtful(SOUND, "HU-07"), Outcome.UNKNOWN),
        (boat(SOUND, jobs=None), Outcome.UNKNOWN),
        (opened(JobStatus.IN_HAND), Outcome.CONDITION),
        (opened(JobStatus.PARTS_WAITING, None), Outcome.CONDITION),
        (opened(None), Outcome.UNKNOWN),
        (opened(None, None), Outcome.UNKNOWN),
        (opened(JobStatus.PLANNED), Outcome.PASSED),
        (opened(JobStatus.DONE_UNTESTED), Outcome.PASSED),
        (with_job(SOUND, JobStatus.IN_HAND, opens=(Opens.GUARD,), opens_equipment="HU-08"), Outcome.PASSED),
    ],
)
def test_an_opening_that_cannot_be_shut_is_a_condition_on_flat_water(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts, FLAT) == expected


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (FLAT, Outcome.CONDITION),
        (meeting(exposed=True, sea_m=0.5), Outcome.NO_GO),
        (meeting(exposed=False, sea_m=2.0), Outcome.CONDITION),
        (meeting(exposed=False, sea_m=NAN), Outcome.CONDITION),
        (meeting(exposed=True, sea_m=NAN), Outcome.UNKNOWN),
    ],
)
def test_the_sea_on_exposed_water_makes_it_no_go(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, OPEN, passage) == expected


@pytest.mark.parametrize(("reached", "ripens"), [(True, False), (False, True)])
def test_a_sea_that_is_not_forecast_yet_ripens_and_a_gap_does_not(*, reached: bool, ripens: bool) -> None:
    found = {one.cause: one for one in judge(RULE, OPEN, meeting(exposed=True, sea_m=NAN, reached=reached))}

    assert found["forecast", ""].outcome.tolist() == [Outcome.UNKNOWN]
    assert found["forecast", ""].ripens.tolist() == [ripens]  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("crosses", "expected"), [(True, Outcome.NO_GO), (False, Outcome.CONDITION), (None, Outcome.UNKNOWN)]
)
def test_a_bar_makes_it_no_go_whatever_the_sea(crosses: bool | None, expected: Outcome) -> None:
    segments = (replace(OPEN.leg.segments[0], crosses_bar=crosses), *OPEN.leg.segments[1:])

    assert answer(RULE, changed(OPEN, leg=replace(OPEN.leg, segments=segments)), FLAT) == expected


def test_a_gate_that_is_a_bar_counts_as_one() -> None:
    gates = tuple(replace(gate, kind=GateKind.BAR) if gate.kind == GateKind.LOCK else gate for gate in OPEN.water.gates)

    assert answer(RULE, changed(OPEN, water=replace(OPEN.water, gates=gates)), FLAT) == Outcome.NO_GO
    assert answer(RULE, changed(OPEN, water=replace(OPEN.water, gates=())), FLAT) == Outcome.UNKNOWN


def test_no_bar_and_no_sea_matter_while_everything_shuts() -> None:
    assert answer(RULE, SOUND, meeting(sea_m=NAN)) == Outcome.PASSED


def test_the_sentence_gives_the_opening_and_the_sea() -> None:
    judgement = worst(RULE, OPEN, meeting(exposed=True, sea_m=1.19))
    words = judgement.say(0)

    assert (words.title, words.sentence) == (
        "Fore hatch cannot be shut",
        "Fault of HU-07 (DEF-100, HU-07), and the sea outside is up to 1.2 m.",
    )
    assert words.sums == (("Highest sea on exposed water, limit 0.5 m", "1.19 m"),)
    assert (judgement.demand.tolist(), judgement.limit) == ([1.19], 0.5)  # type: ignore[union-attr]


def test_the_job_that_keeps_it_open_is_named() -> None:
    words = worst(RULE, opened(JobStatus.IN_HAND), FLAT).say(0)

    assert words.sentence == "Work (JOB-100) keeps it open."
    assert ("job", "JOB-100") in words.evidence


@pytest.mark.parametrize("facts", [OPEN, opened(JobStatus.IN_HAND)])
def test_the_remedy_lifts_the_finding(facts: Facts) -> None:
    (remedy,) = worst(RULE, facts, FLAT).say(0).remedies

    assert answer(RULE, remedy.change(facts), FLAT) == Outcome.PASSED


def test_a_harbour_move_does_not_ask_and_a_boat_without_openings_has_none_to_shut() -> None:
    none = boat(SOUND, equipment=tuple(one for one in SOUND.boat.equipment if one.kind != Kind.OPENING))

    assert [(one.applies, one.say(0).sentence) for one in judge(RULE, harbour(OPEN))] == [
        (False, "Harbour move: not asked.")
    ]
    assert [(one.applies, int(one.outcome[0])) for one in judge(RULE, none)] == [(False, Outcome.PASSED)]


def late_only(metres: float) -> Passage:
    """A sea that only the late figure meets, in the last mile."""
    flat = meeting(exposed=True, sea_m=0.1)
    sea = flat.weather.sea_m.copy()
    sea[:, -1] = metres
    return replaced(flat, weather=replaced(flat.weather, sea_m=sea))


@pytest.mark.parametrize(("refuges", "expected"), [(("vessary",), Outcome.CONDITION), ((), Outcome.NO_GO)])
def test_a_sea_only_the_late_figure_meets_is_a_condition_where_a_refuge_passes(
    refuges: tuple[str, ...], expected: Outcome
) -> None:
    facts = changed(OPEN, leg=replace(OPEN.leg, refuges=refuges, departure_place="nowhere"))

    found = worst(RULE, facts, late_only(0.9))

    assert answer(RULE, facts, late_only(0.9)) == expected
    ending = "whether to turn off for a refuge." if refuges else "No way out is named."
    assert found.say(0).sentence.endswith(ending)


def test_what_is_not_known_by_plan_eases_nothing() -> None:
    passage = late_only(0.9)
    unseen = replaced(passage.weather_at_plan, sea_m=np.full_like(passage.weather.sea_m, NAN))

    assert answer(RULE, OPEN, replaced(passage, weather_at_plan=unseen)) == Outcome.NO_GO
