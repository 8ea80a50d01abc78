"""The skipper's own word, go or stay, on exactly one saved verdict."""

from collections.abc import Collection
from datetime import datetime, timedelta

from django.db import transaction

from readiness.actions.verdict import judge_leg
from readiness.models import Decision, DecisionWord, Leg, LegStatus, Verdict, VerdictWord
from readiness.rules.shown import shown_mark
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.version import check
from vessel.errors import BadInput, Refused

STALE_AFTER = timedelta(hours=6)  # own default: an older verdict is judged again first
AGAINST = (VerdictWord.CANNOT_SAY_YET, VerdictWord.NO_GO)


class VerdictMoved(Refused):
    """Judged again, the leg does not say any more what the page said."""


@transaction.atomic
def decide_as_shown(
    *,
    leg_id: int,
    shown: str,
    word: DecisionWord,
    by: By,
    at: datetime,
    accepted: Collection[tuple[str, str]] = (),
    reason: str = "",
) -> Decision:
    """Judge the leg once more and decide on that verdict, where it says what was shown: `shown` is its mark.

    Raises VerdictMoved where it says something else by now, Refused where the leg is not to come, and as decide.
    """
    leg = Leg.objects.get(pk=leg_id)
    if leg.status != LegStatus.PLANNED:
        raise Refused(f"{leg.name} is {leg.get_status_display()}, so there is nothing to decide. Nothing was written.")
    verdict = judge_leg(leg_id=leg_id, at=at, by=by)
    if mark_of(verdict) != shown:
        raise VerdictMoved(
            f"While you looked the verdict moved: it is {verdict.get_word_display()} now, or stands on other findings. "
            "Look at it again; nothing was decided."
        )
    return decide(verdict_id=verdict.pk, word=word, by=by, at=at, accepted=accepted, reason=reason)


def mark_of(verdict: Verdict) -> str:
    """The mark of what a saved verdict says."""
    standings = ((line["rule"], line["cause"], line["standing"]) for line in verdict.findings)
    return shown_mark(verdict.word, verdict.departure_at.timestamp(), standings)


@transaction.atomic
def decide(
    *,
    verdict_id: int,
    word: DecisionWord,
    by: By,
    at: datetime,
    accepted: Collection[tuple[str, str]] = (),
    reason: str = "",
) -> Decision:
    """Go or stay on the newest verdict. `accepted`: (rule, cause) of each condition taken on.

    To go on a "go if", every condition must be accepted; to go against a verdict needs a reason. Raises Refused or
    BadInput, and then nothing is written.
    """
    verdict = Verdict.objects.select_for_update().select_related("leg__vessel").get(pk=verdict_id)
    _check_verdict(verdict, at)
    conditions = [line for line in verdict.findings if line["standing"] == "condition"]
    going = word == DecisionWord.GO
    missing = [line for line in conditions if (line["rule"], line["cause"]) not in accepted]
    if going and missing:
        raise BadInput(f"Accept each condition to go: {missing[0]['sentence']} Nothing was decided.")
    against = going and verdict.word in AGAINST
    if against and not reason.strip():
        raise BadInput(f"The verdict is {verdict.get_word_display()}. To go all the same, write down why.")
    leg = verdict.leg
    decision = Decision(
        verdict=verdict, word=word, at=at, by=token_of(by=by, vessel_id=leg.vessel_id), against=against,
        conditions=[{name: line[name] for name in ("rule", "cause", "sentence")} for line in conditions if going],
        reason=reason.strip(),
    )  # fmt: skip
    check(decision)
    decision.save(force_insert=True)
    record(
        vessel=leg.vessel,
        what=f"Decided on {leg.name}: {decision.get_word_display()}; the verdict was {verdict.get_word_display()}.",
        by=by, at=at, noun="decision", noun_key=str(decision.pk), private=decision.reason or None,
        changes={"verdict": [None, verdict.facts_sha256], "conditions": [None, len(decision.conditions)]},
    )  # fmt: skip
    return decision


def _check_verdict(verdict: Verdict, at: datetime) -> None:
    if not verdict.is_newest:
        raise Refused("A newer verdict stands by now. Look at that one; nothing was decided.")
    if at - verdict.judged_at > STALE_AFTER:
        raise Refused("This verdict is older than six hours. Judge the leg again; nothing was decided.")
    if Decision.objects.filter(verdict=verdict).exists():
        raise Refused("Somebody decided on this verdict already. Judge the leg again to decide anew.")
