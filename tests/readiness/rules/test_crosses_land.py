"""Land on the way."""

import json
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from readiness.rules.crosses_land import RULE
from readiness.rules.engine import judge
from readiness.rules.facts import Facts, Waiver, changed, decode, encode
from readiness.rules.judgement import Outcome, Verdict
from readiness.rules.words_of_trade import LandOnWay
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import leg, sentence, worst
from tests.readiness.rules.conftest import Judged
from vessel.errors import BadInput

CAUSE = "land:Brannowmouth, off to Skarn Narrows, in"


def second_segment(facts: Facts, land: LandOnWay) -> Facts:
    """The facts with another word for the second segment."""
    segments = list(facts.leg.segments)
    segments[1] = replace(segments[1], land=land)
    return leg(facts, segments=tuple(segments))


@pytest.mark.parametrize(
    ("land", "expected", "said"),
    [
        (LandOnWay.CLEAR, Outcome.PASSED, "By the coastline no part of the way meets land"),
        (LandOnWay.CROSSED, Outcome.NO_GO,
         "By the coastline the segment Brannowmouth, off to Skarn Narrows, in crosses land."),
        (LandOnWay.NOT_LOOKED, Outcome.ADVICE, "No coastline is held there: Brannowmouth, off to Skarn Narrows, in."),
        (LandOnWay.AT_AN_END, Outcome.ADVICE, "The coastline has land within half a mile of an end of the leg"),
    ],
)  # fmt: skip
def test_each_word_of_the_coastline_has_its_answer(
    judged: Judged, land: LandOnWay, expected: Outcome, said: str
) -> None:
    found = judged(RULE, second_segment(worked_example(1), land))

    assert worst(found) == expected
    assert len(found) == 1
    assert sentence(found).startswith(said)


def test_segments_that_cannot_be_told_do_not_hide_one_over_land(judged: Judged) -> None:
    facts = worked_example(1)
    unseen = leg(facts, segments=tuple(replace(one, land=LandOnWay.NOT_LOOKED) for one in facts.leg.segments))

    found = judged(RULE, second_segment(unseen, LandOnWay.CROSSED))

    assert [(one.cause, one.outcome[0]) for one in found] == [
        (("land", "Brannowmouth, off to Skarn Narrows, in"), Outcome.NO_GO),
        (("coastline", "not looked"), Outcome.ADVICE),
    ]


def test_a_leg_over_land_is_never_a_go_and_the_skipper_may_take_it_on_himself_for_one_leg() -> None:
    facts = second_segment(worked_example(1), LandOnWay.CROSSED)
    waived = Waiver(
        rule="crosses_land", cause=CAUSE, by="skipper", at=JUDGED_AT, reason="seen on the chart", instead="keep outside",
        told=("Tam",), value=1.0, limit=0.0, lapses_at_value=1.0, until=None, departure_at=facts.departures.first,
        leg_distance_m=float(judge(facts).passage.track.node_along_m[-1]),
        crew=tuple(person.name for person in facts.people if person.confirmed is not False),
    )  # fmt: skip

    over, accepted = judge(facts), judge(changed(facts, waivers=(waived,)))

    row = [judgement.rule for judgement in over.judgements].index("crosses_land")
    assert over.verdict[0] == Verdict.NO_GO
    assert accepted.standing[row, 0] == Outcome.CONDITION


@pytest.mark.parametrize("damage", ["lost", None, "", "?"])
def test_a_word_that_is_lost_or_damaged_is_refused_not_taken_for_clear(damage: Any) -> None:
    document = json.loads(encode(second_segment(worked_example(1), LandOnWay.CROSSED)))
    segment = document["leg"]["segments"][1]
    segment["land"] = damage
    if damage == "lost":
        del segment["land"]

    with pytest.raises(BadInput):
        decode(msgspec.json.encode(document))
