"""Finding one line of the newest verdict again, for the deeds that answer it."""

from typing import Any

from readiness.models import Verdict
from readiness.rules.register import RULE_OF
from vessel.errors import Refused


def newest_verdict(leg_id: int) -> Verdict:
    """The newest verdict of a leg, its leg and vessel with it. Raises Refused where the leg was never judged."""
    verdict = Verdict.objects.select_related("leg__vessel").filter(leg_id=leg_id, is_newest=True).first()
    if verdict is None:
        raise Refused("This leg has not been judged yet. Judge it first; nothing was written.")
    return verdict


def line_of(verdict: Verdict, rule: str, cause: str) -> dict[str, Any]:
    """The line of one rule on one cause. Raises Refused where the verdict holds none."""
    for line in verdict.findings:
        if (line["rule"], line["cause"]) == (rule, cause):
            return dict(line)
    raise Refused("This finding is not in the newest verdict any more. Look again; nothing was written.")


def title_of(rule: str) -> str:
    """What people call a rule; of one that is no more, its id in words."""
    known = RULE_OF.get(rule)
    return known.title if known else rule.replace("_", " ")
