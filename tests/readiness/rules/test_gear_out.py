"""Gear out of service."""

import pytest
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import Function
from readiness.rules.gear_out import RULE
from readiness.rules.judgement import Outcome
from readiness.rules.passage import Passage
from readiness.rules.required import REQUIRED
from readiness.rules.state import FUNCTIONS
from readiness.rules.words_of_trade import Effect, GateKind, JobStatus
from tests.factories.changed_boat import (
    EXAMPLE,
    NAN,
    SOUND,
    answer,
    boat,
    degraded,
    doubtful,
    function,
    harbour,
    judge,
    meeting,
    out,
    outcome,
    stale,
    untimed,
    with_defect,
    with_job,
    worst,
)

BY_DAY_NEAR = meeting(refuge_nmi=3.0, sun_deg=-6.0, sea_c=15.0)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (SOUND, Outcome.PASSED),
        (EXAMPLE, Outcome.PASSED),
        (out(SOUND, "HU-01"), Outcome.NO_GO),
        (degraded(SOUND, "HU-04"), Outcome.CONDITION),
        (doubtful(SOUND, "EL-02"), Outcome.UNKNOWN),
        (stale(SOUND, "EL-02"), Outcome.PASSED),
        (out(SOUND, "EL-01"), Outcome.PASSED),
        (out(SOUND, "EL-01", "EL-03"), Outcome.NO_GO),
        (out(SOUND, "EL-07"), Outcome.NO_GO),
        (out(SOUND, "NV-01"), Outcome.NO_GO),  # the compass: no rule of its own answers for it
        (degraded(out(SOUND, "NV-06"), "NV-05"), Outcome.CONDITION),
        (out(SOUND, "RD-01", "RD-03"), Outcome.NO_GO),
        (out(SOUND, "GT-03"), Outcome.NO_GO),
        (out(SOUND, "GS-01"), Outcome.NO_GO),
        (out(SOUND, "LS-07"), Outcome.NO_GO),
        (out(SOUND, "MR-01"), Outcome.NO_GO),
        (boat(SOUND, defects=None), Outcome.UNKNOWN),
        (function(SOUND, "moor", "MR-01)"), Outcome.UNKNOWN),
        (boat(SOUND, functions=()), Outcome.UNKNOWN),
        # other rules answer for these
        (out(SOUND, "EN-01"), Outcome.PASSED),
        (out(SOUND, "ST-02"), Outcome.PASSED),
        (out(SOUND, "HU-07"), Outcome.PASSED),
        (out(SOUND, "BP-01", "BP-04", "BP-05"), Outcome.PASSED),
        (out(SOUND, "NV-02", "NV-03", "NV-04"), Outcome.PASSED),
        (out(SOUND, "LT-06", "LT-07"), Outcome.PASSED),
        (out(SOUND, "RD-07", "RD-08"), Outcome.PASSED),  # seen in distress
        (out(SOUND, "GT-02"), Outcome.PASSED),  # the windlass is in no tree
    ],
)
def test_required_functions_that_no_other_rule_answers_for(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


@pytest.mark.parametrize(
    ("passage", "expected"),
    [
        (BY_DAY_NEAR, Outcome.PASSED),
        (meeting(BY_DAY_NEAR, refuge_nmi=3.1), Outcome.NO_GO),
        (meeting(BY_DAY_NEAR, sun_deg=-6.1), Outcome.NO_GO),
        (meeting(BY_DAY_NEAR, sea_c=14.9), Outcome.NO_GO),
        (meeting(BY_DAY_NEAR, sea_c=NAN), Outcome.UNKNOWN),
        (meeting(BY_DAY_NEAR, sea_c=NAN, sun_deg=-6.1), Outcome.NO_GO),
    ],
)
def test_leaving_the_ship_is_required_by_distance_cold_or_night(passage: Passage, expected: Outcome) -> None:
    assert answer(RULE, out(SOUND, "LS-02", "LS-03"), passage) == expected


def test_the_dinghy_serves_near_a_refuge_only() -> None:
    facts = out(SOUND, "LS-02")

    assert answer(RULE, facts, meeting(BY_DAY_NEAR, sun_deg=-6.1)) == Outcome.PASSED
    assert answer(RULE, facts, meeting(BY_DAY_NEAR, refuge_nmi=3.1)) == Outcome.NO_GO


@pytest.mark.parametrize(("reached", "ripens"), [(True, False), (False, True)])
def test_a_sea_temperature_that_is_missing_is_the_forecasts_finding(*, reached: bool, ripens: bool) -> None:
    passage = meeting(BY_DAY_NEAR, sea_c=NAN, reached=reached)
    found = [one for one in judge(RULE, out(SOUND, "LS-02", "LS-03"), passage) if one.cause == ("forecast", "")]

    assert [one.ripens.tolist() for one in found] == [[ripens]]  # type: ignore[union-attr]
    assert answer(RULE, SOUND, passage) == Outcome.PASSED  # all is well: it cannot matter


@pytest.mark.parametrize(("air_c", "expected"), [(13.5, Outcome.PASSED), (13.6, Outcome.NO_GO), (NAN, Outcome.UNKNOWN)])
def test_the_fan_may_fail_while_the_engine_space_stays_cool(air_c: float, expected: Outcome) -> None:
    assert answer(RULE, out(SOUND, "VE-02"), meeting(air_c=air_c)) == expected
    assert answer(RULE, SOUND, meeting(air_c=air_c)) == Outcome.PASSED


def test_a_rise_nobody_measured_is_a_reading_that_is_missing() -> None:
    facts = boat(out(SOUND, "VE-02"), engine_space_rise_k=replace(SOUND.boat.engine_space_rise_k, value=NAN))

    assert {one.cause for one in judge(RULE, facts) if outcome([one])} == {("reading", "conditions of the functions")}


def test_lock_lines_are_wanted_only_where_there_is_a_lock_or_sill() -> None:
    facts = out(SOUND, "MR-03")
    bars = tuple(replace(gate, kind=GateKind.BAR) for gate in facts.water.gates)

    assert answer(RULE, facts) == Outcome.NO_GO
    assert answer(RULE, changed(facts, water=replace(facts.water, gates=bars))) == Outcome.PASSED
    assert answer(RULE, changed(facts, water=replace(facts.water, gates=()))) == Outcome.UNKNOWN
    assert answer(RULE, changed(facts, water=replace(facts.water, places=()))) == Outcome.NO_GO  # the point names it


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (out(SOUND, "EL-02"), Outcome.NO_GO),  # start
        (out(SOUND, "HU-01"), Outcome.NO_GO),
        (out(SOUND, "MR-01"), Outcome.NO_GO),
        (out(SOUND, "RD-01", "RD-03"), Outcome.PASSED),  # talk and raise the alarm: outside only
        (out(SOUND, "EL-07"), Outcome.NO_GO),  # air and heat hangs on it
        (out(SOUND, "LS-02", "LS-03"), Outcome.PASSED),
        (out(SOUND, "GT-03"), Outcome.PASSED),
        (out(SOUND, "NV-01"), Outcome.PASSED),
    ],
)
def test_a_harbour_move_requires_less(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, harbour(facts), meeting(sun_deg=-10.0)) == expected


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        (with_defect(SOUND, None, None), Outcome.UNKNOWN),
        (with_defect(SOUND, None, Effect.DISABLES), Outcome.UNKNOWN),
        (with_defect(SOUND, None, Effect.DEGRADES), Outcome.UNKNOWN),
        (with_defect(SOUND, None, Effect.NONE), Outcome.PASSED),
        (with_defect(SOUND, "XX-1", Effect.DISABLES), Outcome.UNKNOWN),
        (with_defect(SOUND, "", Effect.DISABLES), Outcome.UNKNOWN),
        (with_job(SOUND, JobStatus.IN_HAND, "XX-1"), Outcome.UNKNOWN),
        (with_job(SOUND, None, "XX-1"), Outcome.UNKNOWN),
        (with_job(SOUND, JobStatus.DONE_UNTESTED, "XX-1"), Outcome.UNKNOWN),
        (with_job(SOUND, JobStatus.PLANNED, "XX-1"), Outcome.PASSED),
        (harbour(with_defect(SOUND, None, None)), Outcome.UNKNOWN),
    ],
)
def test_a_defect_or_job_that_nobody_can_place_is_unknown(facts: Facts, expected: Outcome) -> None:
    assert answer(RULE, facts) == expected


def test_a_function_of_ones_own_is_advice_and_the_lists_agree() -> None:
    own = Function(key="cook", name="Cook", tree="ALL(GS-02, GT-02)", is_group=False)
    facts = boat(out(SOUND, "GT-02"), functions=(*SOUND.boat.functions, own))

    assert answer(RULE, facts) == Outcome.ADVICE
    assert worst(RULE, facts).say(0).title == "Cook not in service"
    assert set(REQUIRED) == set(FUNCTIONS) - {"distress_by_sight"}


def test_the_finding_names_the_job_and_finishing_it_lifts_it() -> None:
    facts = with_job(SOUND, JobStatus.IN_HAND, "GT-03", title="Chain stopper off for galvanising")
    found = worst(RULE, facts)
    words = found.say(0)

    assert found.cause == ("job", "JOB-100")
    assert words.sentence == "Hold ground is lost: Chain stopper off for galvanising: in hand (JOB-100, GT-03)."
    assert words.remedies[0].text == "Finish and test: Chain stopper off for galvanising (JOB-100)"
    assert words.remedies[0].minutes == 65.0
    assert answer(RULE, words.remedies[0].change(facts)) == Outcome.PASSED


def test_a_degraded_function_says_the_limit_to_keep() -> None:
    facts = with_defect(SOUND, "HU-04", Effect.DEGRADES, limit="under 1,500 rpm")

    assert worst(RULE, facts).say(0).do == "Tell the crew and keep within it: Fault of HU-04: under 1,500 rpm."


def test_a_late_arrival_that_is_not_known_is_unknown() -> None:
    found = [one for one in judge(RULE, SOUND, untimed()) if outcome([one]) > Outcome.PASSED]

    assert {one.cause for one in found} == {("late arrival", "")}
