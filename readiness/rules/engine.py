"""Judge the facts: every rule over all departures, then the verdict, the outlook and the deciding rule of each.

The judgements themselves are never changed: waivers and met conditions are laid over them by `laid_over`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from readiness.rules.facts import Facts
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Outlook, Rule, Verdict
from readiness.rules.passage import Passage
from readiness.rules.register import RULES
from readiness.rules.under_way import passage_of
from readiness.rules.waiver import laid_over
from vessel.units import Flags

ENGINE_VERSION = "1"

VERDICT_OF = np.array(
    [Verdict.GO, Verdict.GO, Verdict.GO_IF, Verdict.CANNOT_SAY_YET, Verdict.NO_GO], np.int8
)  # by the worst outcome
OUTLOOK_OF = np.array([Outlook.GOOD, Outlook.FAIR, Outlook.POOR, Outlook.POOR], np.int8)  # by the verdict


@dataclass(frozen=True, eq=False)  # told apart by identity, so that what is worked out from it once can be kept
class Judged:
    """The facts judged: arrays are [departure], or [judgement, departure]."""

    facts: Facts
    passage: Passage
    judgements: tuple[Judgement, ...]
    outcomes: Outcomes  # [judgement, departure] as the rules gave them
    standing: Outcomes  # [judgement, departure] with waivers and met conditions laid over
    verdict: NDArray[np.int8]
    outlook: NDArray[np.int8]
    deciding: NDArray[np.int64]  # which judgement decides; of equals, one that does not settle itself

    @cached_property
    def ripe(self) -> Outcomes:
        """The standing outcomes as if all that settles itself came out well, [judgement, departure]."""
        return ripened(self.judgements, self.standing)

    def index_at(self, at: float) -> int:
        """The judged departure nearest to a time."""
        return int(np.argmin(np.abs(self.passage.departure_at - at)))


def judge(facts: Facts, rules: Sequence[Rule] = RULES, passage: Passage | None = None) -> Judged:
    """The verdict and the outlook of every departure. Raises BadInput where the track cannot be drawn.

    `passage`: swept already, of facts whose `swept_from` parts are these.
    """
    passage = passage or passage_of(facts)
    judgements = tuple(judgement for rule in rules for judgement in rule.judge(facts, passage, facts.limits))
    outcomes = _stacked(judgements, passage.departures)
    distance_m = float(passage.track.node_along_m[-1])
    standing = laid_over(facts, judgements, outcomes, passage.departure_at, distance_m)
    ripe = ripened(judgements, standing)
    return Judged(
        facts=facts,
        passage=passage,
        judgements=judgements,
        outcomes=outcomes,
        standing=standing,
        verdict=VERDICT_OF[standing.max(axis=0)],
        outlook=OUTLOOK_OF[VERDICT_OF[ripe.max(axis=0)]],
        deciding=deciding(standing, ripe),
    )


def _stacked(judgements: Sequence[Judgement], departures: int) -> Outcomes:
    """Outcomes of all judgements, [judgement, departure]; no judgement at all is not good news."""
    if not judgements:
        return np.full((1, departures), Outcome.UNKNOWN, np.int8)
    return np.stack([np.broadcast_to(judgement.outcome, departures) for judgement in judgements])


def deciding(standing: Outcomes, ripe: Outcomes, shown_otherwise: Flags | bool = False) -> NDArray[np.int64]:
    """Which judgement decides each departure, [departure]: the worst.

    Of equals one that does not settle itself, then the first in the order of the rules; those flagged [judgement] as
    shown otherwise come after the rest.
    """
    behind = np.broadcast_to(np.asarray(shown_otherwise, np.int8), len(standing))[:, None]
    return np.asarray((4 * standing + 2 * (ripe == standing) - behind).argmax(axis=0))


def ripened(judgements: Sequence[Judgement], outcomes: Outcomes) -> Outcomes:
    """The outcomes as if all that settles itself came out well, [judgement, departure]; a no-go never does."""
    if not judgements:
        return outcomes
    ripens = np.stack([np.broadcast_to(judgement.ripens, outcomes.shape[1]) for judgement in judgements])
    return np.where(ripens & (outcomes < Outcome.NO_GO), np.int8(Outcome.PASSED), outcomes).astype(np.int8)
