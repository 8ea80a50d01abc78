"""What puts a piece of equipment right, and what it may say once it is done."""

import pytest

from readiness.calc.success_tree import Level
from readiness.rules import facts_boat
from readiness.rules.facts import Facts, decode, encode
from readiness.rules.judgement import Remedy
from readiness.rules.put_right import put_right, remedies_for, remedy_for
from readiness.rules.state import states
from readiness.rules.words_of_trade import JobStatus
from readiness.rules.words_of_trade import TestPlace as Where
from tests.factories.changed_boat import (
    NAN,
    PASSAGE,
    SOUND,
    boat,
    doubtful,
    item,
    out,
    stale,
    with_job,
)

AT_SEA = facts_boat.Test(text="Run it", where=Where.AT_SEA, minutes=60.0)


def remedy(facts: Facts, code: str) -> Remedy | None:
    """What puts one item right."""
    return remedy_for(facts, states(facts, PASSAGE), code)


def level(facts: Facts, code: str) -> Level:
    """State of one item."""
    held = states(facts, PASSAGE)
    return Level(int(held.level[held.rows[code], 0]))


@pytest.mark.parametrize(
    ("facts", "code", "kind", "minutes", "then"),
    [
        (out(SOUND, "EN-06"), "EN-06", "job", 30.0, Level.IN_SERVICE),
        (out(SOUND, "HU-04"), "HU-04", "job", 30.0, Level.NOT_PROVED),  # a gland is proved under way
        (with_job(SOUND, JobStatus.IN_HAND, "EN-06"), "EN-06", "job", 65.0, Level.IN_SERVICE),
        (with_job(SOUND, JobStatus.DONE_UNTESTED, "EN-06"), "EN-06", "test", 5.0, Level.IN_SERVICE),
        (with_job(SOUND, JobStatus.IN_HAND, "EN-06", test=AT_SEA), "EN-06", "job", 120.0, Level.NOT_PROVED),
        (
            with_job(SOUND, JobStatus.PARTS_WAITING, "EN-06", put_back_minutes=20.0),
            "EN-06",
            "job",
            25.0,
            Level.IN_SERVICE,
        ),
        (stale(SOUND, "EN-06"), "EN-06", "test", 5.0, Level.IN_SERVICE),
        (item(SOUND, "EN-06", proved_at=None), "EN-06", "test", 5.0, Level.IN_SERVICE),
        (
            out(with_job(SOUND, JobStatus.IN_HAND, "EN-06"), "EN-06"),
            "EN-06",
            "job",
            95.0,
            Level.IN_SERVICE,
        ),
    ],
)
def test_a_remedy_says_its_cost_and_changes_the_state_no_further_than_it_proves(
    facts: Facts, code: str, kind: str, minutes: float, then: Level
) -> None:
    found = remedy(facts, code)

    assert found is not None
    assert (found.kind, found.minutes) == (kind, minutes)
    assert level(found.change(facts), code) == then


@pytest.mark.parametrize(
    ("facts", "code"),
    [
        (boat(SOUND, defects=None), "EN-06"),
        (item(SOUND, "EN-06", carried=None), "EN-06"),
        (item(SOUND, "EN-06", carried=False), "EN-06"),
        (item(SOUND, "EN-06", keeps_s=NAN), "EN-06"),
        (stale(SOUND, "HU-04"), "HU-04"),  # its proof is had at sea
        (item(stale(SOUND, "EN-06"), "EN-06", proof_where=None), "EN-06"),
        (doubtful(SOUND, "EN-06"), "EN-06"),
        (with_job(SOUND, JobStatus.PARTS_WAITING, "EN-06"), "EN-06"),
        (with_job(SOUND, JobStatus.DONE_UNTESTED, "EN-06", test=AT_SEA), "EN-06"),
        (with_job(SOUND, None, "EN-06"), "EN-06"),
        (SOUND, "XX-1"),
    ],
)
def test_what_no_work_before_leaving_puts_right_has_no_remedy(facts: Facts, code: str) -> None:
    assert remedy(facts, code) is None


def test_one_job_on_several_items_is_one_remedy() -> None:
    facts = with_job(SOUND, JobStatus.IN_HAND, "EN-06", "EN-07")
    (found,) = remedies_for(facts, states(facts, PASSAGE), ("EN-06", "EN-07"))

    changed = found.change(facts)

    assert [level(changed, code) for code in ("EN-06", "EN-07")] == [Level.IN_SERVICE] * 2


def test_changed_facts_are_a_whole_document_and_the_old_ones_stay_as_they_were() -> None:
    facts = out(SOUND, "HU-04")

    changed = put_right("HU-04", facts)

    assert encode(decode(encode(changed))) == encode(changed)
    assert level(facts, "HU-04") == Level.OUT
