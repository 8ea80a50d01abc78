"""State of each item, worked out from proof, defects and jobs."""

import numpy as np
import pytest

from readiness.calc.success_tree import Level
from readiness.rules.facts import Facts
from readiness.rules.record import moment
from readiness.rules.state import FUNCTIONS, states
from readiness.rules.words_of_trade import Effect, JobStatus, Opens
from tests.factories.changed_boat import (
    EXAMPLE,
    LATE_AT,
    NAN,
    PASSAGE,
    SOUND,
    boat,
    days_before,
    function,
    item,
    meeting,
    untimed,
    with_defect,
    with_job,
)
from tests.factories.worked_example import JUDGED_AT
from vessel.units import DAY


def level(facts: Facts, code: str = "EN-06") -> Level:
    """State of one item at the first departure."""
    held = states(facts, PASSAGE)
    return Level(int(held.level[held.rows[code], 0]))


@pytest.mark.parametrize(
    ("effect", "expected"),
    [(Effect.NONE, 0), (Effect.DEGRADES, 1), (Effect.DISABLES, 4), (None, 3)],
)
def test_a_defect_gives_the_state_by_its_effect(effect: Effect | None, expected: int) -> None:
    assert level(with_defect(SOUND, "EN-06", effect)) == expected


@pytest.mark.parametrize(
    ("status", "expected"),
    [
        (JobStatus.IDEA, 0), (JobStatus.PLANNED, 0), (JobStatus.READY, 0), (JobStatus.IN_HAND, 4),
        (JobStatus.PARTS_WAITING, 4), (JobStatus.DONE_UNTESTED, 2), (JobStatus.PROVED, 0), (JobStatus.DROPPED, 0),
        (None, 3),
    ],
)  # fmt: skip
def test_a_job_takes_out_what_it_says_by_how_far_it_is(status: JobStatus | None, expected: int) -> None:
    assert level(with_job(SOUND, status, "EN-06")) == expected


def test_every_status_and_effect_is_placed() -> None:
    for status in JobStatus:
        level(with_job(SOUND, status, "EN-06"))
    for effect in Effect:
        level(with_defect(SOUND, "EN-06", effect))


@pytest.mark.parametrize(("older_s", "expected"), [(-1.0, 0), (0.0, 0), (1.0, 2)])
def test_a_proof_must_still_keep_at_the_late_arrival(older_s: float, expected: int) -> None:
    proved_at = moment(LATE_AT - 100 * DAY - older_s)

    assert level(item(SOUND, "EN-06", proved_at=proved_at, keeps_s=100 * DAY)) == expected


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({"proved_at": None}, 3),
        ({"keeps_s": NAN}, 3),
        ({"carried": None}, 3),
        ({"carried": False}, 4),
        ({"proved_at": days_before(-0.01)}, 3),
        ({"proved_at": JUDGED_AT}, 0),
    ],
)
def test_what_is_not_known_of_an_item_leaves_it_unknown(parts: dict[str, object], expected: int) -> None:
    assert level(item(SOUND, "EN-06", **parts)) == expected


@pytest.mark.parametrize("name", ["defects", "jobs"])
def test_every_item_is_unknown_when_a_list_is_missing(name: str) -> None:
    held = states(boat(SOUND, **{name: None}), PASSAGE)

    assert all(held.level[held.rows[one.code], 0] >= Level.UNKNOWN for one in SOUND.boat.equipment)


def test_an_item_listed_twice_is_unknown() -> None:
    twice = tuple(one for one in SOUND.boat.equipment if one.code == "EN-06")

    assert level(boat(SOUND, equipment=(*SOUND.boat.equipment, *twice))) == Level.UNKNOWN


def test_the_worst_of_several_reasons_stands() -> None:
    facts = with_job(with_defect(SOUND, "EN-06", Effect.DEGRADES), JobStatus.DONE_UNTESTED, "EN-06")
    held = states(facts, PASSAGE)

    assert level(facts) == Level.NOT_PROVED
    assert held.once_tested[held.rows["EN-06"], 0] == Level.DEGRADED


def test_work_that_only_opened_an_item_leaves_it_to_be_tested() -> None:
    opened = {"opens": (Opens.OPENING,), "opens_equipment": "HU-07"}

    assert level(with_job(SOUND, JobStatus.DONE_UNTESTED, **opened), "HU-07") == Level.NOT_PROVED
    assert level(with_job(SOUND, JobStatus.IN_HAND, **opened), "HU-07") == Level.IN_SERVICE


@pytest.mark.parametrize(
    "tree", ["ALL(EN-01, XX-99)", "ALL(EN-01", "", "drive", "ANY(drive)"]
)  # an unknown code, a broken tree, none, rings
def test_a_function_whose_tree_cannot_be_followed_is_unknown(tree: str) -> None:
    facts = function(SOUND, "drive", tree)
    held = states(boat(facts, functions=facts.boat.functions), PASSAGE)

    assert held.of(held.trees["drive"]).tolist() == [Level.UNKNOWN]


def test_a_function_that_is_missing_or_given_twice_is_unknown() -> None:
    drive = next(one for one in SOUND.boat.functions if one.key == "drive")
    without = tuple(one for one in SOUND.boat.functions if one is not drive)
    lost = states(boat(SOUND, functions=()), PASSAGE)

    for functions in (without, (*without, drive, drive)):
        held = states(boat(SOUND, functions=functions), PASSAGE)
        assert held.of(held.trees["drive"]).tolist() == [Level.UNKNOWN]
    assert all(lost.of(lost.trees[key])[0] == Level.UNKNOWN for key in FUNCTIONS)


def test_every_function_of_the_worked_example_stands_as_worked_out_by_hand() -> None:
    held = states(EXAMPLE, PASSAGE)

    found = {key: Level(int(held.of(held.trees[key])[0])) for key in (*FUNCTIONS, "autopilot")}

    expected = dict.fromkeys(FUNCTIONS, Level.IN_SERVICE)
    assert found == expected | {"keep_water_out": Level.NOT_PROVED, "autopilot": Level.OUT}


@pytest.mark.parametrize(("refuge_nmi", "expected"), [(2.99, 0), (3.0, 0), (3.01, 4), (float("inf"), 4), (NAN, 3)])
def test_near_a_refuge_is_worked_out_from_the_passage(refuge_nmi: float, expected: int) -> None:
    held = states(SOUND, meeting(refuge_nmi=refuge_nmi))

    assert held.level[held.rows["near_ok"], 0] == expected


@pytest.mark.parametrize(("air_c", "expected"), [(13.4, 0), (13.5, 0), (13.6, 4), (NAN, 3)])
def test_the_engine_space_without_its_fan_is_cool_enough_up_to_60_degrees(air_c: float, expected: int) -> None:
    held = states(SOUND, meeting(air_c=air_c))  # 31 K measured with the fan, 46.5 K without

    assert held.level[held.rows["engine_space_ok"], 0] == expected


def test_proofs_are_read_at_departure_where_the_late_arrival_is_not_known() -> None:
    held = states(SOUND, untimed())

    assert not held.level[[held.rows[one.code] for one in SOUND.boat.equipment if one.carried]].any()


def test_states_are_worked_out_once_for_the_same_facts_and_passage() -> None:
    assert states(SOUND, PASSAGE) is states(SOUND, PASSAGE)
    assert states(boat(SOUND), PASSAGE) is not states(SOUND, PASSAGE)


def test_levels_are_small_whole_numbers_over_departures() -> None:
    held = states(EXAMPLE, PASSAGE)

    assert held.level.dtype == np.int8
    assert held.level.shape == (len(held.rows), 1)
