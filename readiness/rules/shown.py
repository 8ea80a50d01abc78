"""What a verdict says, as one short mark: a decision is taken on the verdict that was shown, or not at all."""

import hashlib
import json
from collections.abc import Iterable

from readiness.rules.engine import Judged
from readiness.rules.finding import findings_at, lines_at
from readiness.rules.report import OUTCOME_WORD, verdict_word

Standing = tuple[str, str, str]  # rule, cause, and how it stands


def shown_mark(word: str, departure_s: float, standings: Iterable[Standing]) -> str:
    """One mark for the word, the departure (UTC seconds since 1970) and how each finding stands, in any order.

    Figures are left out: an age that grew by a minute is not another verdict.
    """
    said = [word.lower(), round(departure_s), sorted(standings)]
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:32]


def mark_at(judged: Judged, index: int) -> str:
    """The mark of one departure as judged."""
    found = (line for finding in findings_at(lines_at(judged, index)) for line in finding.lines)
    standings = ((line.rule, line.cause, OUTCOME_WORD[line.standing]) for line in found)
    return shown_mark(verdict_word(judged, index), float(judged.passage.departure_at[index]), standings)
