"""Does the way lead over land? A coastline is not a chart: it can say no, never yes."""

from collections.abc import Iterator, Sequence

from readiness.rules.facts import Facts
from readiness.rules.facts_water import Segment
from readiness.rules.judgement import Cause, Judgement, Outcome, Rule, Subject, Waive, Words, constant
from readiness.rules.limits import Limits
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN
from readiness.rules.telling import listed
from readiness.rules.words_of_trade import LandOnWay

RULE_ID, TITLE = "crosses_land", "Clear of land"
CLEAR = Words(
    title=TITLE, sentence="By the coastline no part of the way meets land; it is no chart and shows no rocks."
)
WHY_ADVICE = {
    LandOnWay.NOT_LOOKED: ("No coastline is held there", "Look at the chart, or take in a coastline and save the route again."),
    LandOnWay.AT_AN_END: ("The coastline has land within half a mile of an end of the leg, where it is too coarse to tell",
                          "Look at the chart."),
}  # fmt: skip


def crosses_land(facts: Facts, passage: Passage, _limits: Limits) -> Iterator[Judgement]:
    """One judgement for each segment over land, and one for each reason why others cannot be told.

    Source: [practice]
    """
    segments = facts.leg.segments
    over = [segment for segment in segments if segment.land == LandOnWay.CROSSED]
    for segment in over:
        yield _judgement(passage, ("land", segment.name), Outcome.NO_GO, _over_land(segment), 1.0)
    for land, (why, do) in WHY_ADVICE.items():
        if untold := [segment for segment in segments if segment.land == land]:
            words = Words(title="Land on the way not looked for", sentence=f"{why}: {_named(untold)}.", do=do)
            yield _judgement(passage, ("coastline", land.value), Outcome.ADVICE, words)
    if all(segment.land == LandOnWay.CLEAR for segment in segments):
        yield _judgement(passage, ("land", ""), Outcome.PASSED, CLEAR, 0.0)


def _judgement(passage: Passage, cause: Cause, outcome: Outcome, words: Words, over: float = NOT_KNOWN) -> Judgement:
    return Judgement(
        rule=RULE_ID,
        cause=cause,
        outcome=constant(outcome, passage.departures),
        demand=over,
        limit=0.0,
        unit="crossings",
        say=lambda _: words,
    )


def _over_land(segment: Segment) -> Words:
    return Words(
        title=f"Over land: {segment.name}",
        sentence=f"By the coastline the segment {segment.name} crosses land.",
        do="Put a point into the route so that it goes round.",
        minutes=5.0,
    )


def _named(segments: Sequence[Segment]) -> str:
    return listed(dict.fromkeys(segment.name for segment in segments))


RULE = Rule(
    id=RULE_ID,
    title=TITLE,
    subject=Subject.WATER,
    formula="Each segment against the coastline when the route was saved: one that crosses land is a no-go; where no "
    "coastline is held, or land is met only within 0.5 nmi of an end of the leg, advice to look at the chart; clear passes.",
    source="[practice] [own]",
    worst=Outcome.NO_GO,
    judge=crosses_land,
    waive={Outcome.NO_GO: Waive.ONE_LEG},
)
