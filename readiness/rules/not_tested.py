"""Done but not tested, or proof too old: the test is the condition where it still fits before departure."""

from collections.abc import Iterator
from functools import partial

from readiness.rules.facts import Facts
from readiness.rules.judgement import Evidence, Judgement, Outcome, Outcomes, Remedy, Rule, Subject, Waive, Words
from readiness.rules.limits import Limits
from readiness.rules.missing import late_arrival_missing, not_asked
from readiness.rules.owed_tests import Owed, outcome_of, tests_owed, time_left_s
from readiness.rules.passage import Passage
from readiness.rules.put_right import tested
from readiness.rules.record import NOT_KNOWN
from readiness.rules.telling import BEFORE_DEPARTURE_S, before, by_departure, departure_zone, hand_for
from readiness.rules.words_of_trade import Skill, TestPlace
from vessel.calc.wording import margin, with_unit, with_utc
from vessel.units import MINUTE, Array

ID, TITLE = "not_tested", "Tests owed"
AT_SEA = "Keep the first hour in sheltered water with the way back open, and lean on it for nothing before"


def not_tested(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:  # noqa: ARG001
    """Each test that is owed. Also asked on a harbour move.

    Source: [practice]
    """
    yield from late_arrival_missing(ID, passage)
    owed = tuple(tests_owed(facts, passage))
    for one in owed:
        outcome = outcome_of(facts, passage, one)
        left = time_left_s(facts, passage, one.test)
        yield Judgement(
            rule=ID,
            cause=one.cause,
            outcome=outcome,
            demand=left,
            limit=0.0,
            unit="s",
            say=partial(_say, facts, passage, one, outcome, left),
            applies=one.untested,
        )
    if not owed:
        yield not_asked(ID, passage, TITLE, "Everything is proved.")


def _say(facts: Facts, passage: Passage, owed: Owed, outcome: Outcomes, left: Array, index: int) -> Words:
    evidence = _evidence(owed)
    if outcome[index] == Outcome.PASSED:
        return Words(title=TITLE, sentence=f"{owed.title}: proved.", evidence=evidence)
    why = "done but not tested" if owed.cause[0] == "job" else "proof too old by late arrival"
    if outcome[index] == Outcome.ADVICE:
        sentence = f"{owed.title}: {why}; not needed on this leg."
        return Words(title="Test owed", sentence=sentence, do=_test(owed), minutes=owed.test.minutes, evidence=evidence)
    return Words(
        title=f"{owed.title}: not tested",
        sentence=f"{owed.title}: {why}. {_when(facts, passage, owed, outcome, index)}",
        do=_do(facts, passage, owed, index),
        by=by_departure(passage, index),
        who=hand_for(facts, Skill.ENGINE),
        minutes=owed.test.minutes,
        evidence=evidence,
        remedies=_remedies(owed, outcome, index),
        margin=margin(left[index] / MINUTE, "min") if owed.test.where == TestPlace.ALONGSIDE else "",
    )


def _when(facts: Facts, passage: Passage, owed: Owed, outcome: Outcomes, index: int) -> str:
    """When the test can be done."""
    minutes = with_unit(owed.test.minutes, "min")
    if owed.test.where == TestPlace.AT_SEA:
        return f"Its test takes {minutes} at sea."
    if outcome[index] == Outcome.CONDITION:
        return f"Its test takes {minutes}, before {before(facts, passage, index)}."
    if owed.test.where is None or owed.test.minutes != owed.test.minutes:
        return "Nobody has said where its test is done, or how long it takes."
    return f"Its test takes {minutes} and does not fit: leave at or after {_earliest(facts, owed)}."


def _earliest(facts: Facts, owed: Owed) -> str:
    at = facts.judged_at.timestamp() + owed.test.minutes * MINUTE + BEFORE_DEPARTURE_S
    return with_utc(at, departure_zone(facts))


def _do(facts: Facts, passage: Passage, owed: Owed, index: int) -> str:
    if owed.test.where == TestPlace.AT_SEA:
        return f"{AT_SEA}: {owed.test.text}."
    return f"{_test(owed)} Do it before {before(facts, passage, index)}."


def _test(owed: Owed) -> str:
    return f"{owed.test.text.rstrip('.')}." if owed.test.text else "Run its test and log the readings."


def _evidence(owed: Owed) -> tuple[Evidence, ...]:
    job: tuple[Evidence, ...] = (owed.cause,) if owed.cause[0] == "job" else ()
    return (*job, *(("equipment", code) for code in owed.codes))


def _remedies(owed: Owed, outcome: Outcomes, index: int) -> tuple[Remedy, ...]:
    """The test, where it can be done before leaving."""
    if owed.test.where != TestPlace.ALONGSIDE or outcome[index] != Outcome.CONDITION:
        return ()
    minutes = owed.test.minutes if owed.test.minutes >= 0 else NOT_KNOWN
    return (Remedy("test", f"Test: {owed.title}", partial(tested, owed.codes, owed.cause), minutes),)


RULE = Rule(
    id=ID,
    title=TITLE,
    subject=Subject.BOAT,
    formula="an item not proved that the leg needs: a condition where its test alongside ends 15 min before departure, "
    "unknown where it does not; a test at sea is a condition on the first hour; not needed is advice",
    source="[practice]",
    worst=Outcome.UNKNOWN,
    judge=not_tested,
    limits=("near_m", "cold_sea_c"),
    waive={Outcome.CONDITION: Waive.ONE_LEG},
)
