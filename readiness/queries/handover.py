"""The chapters of her legs in a handover: where she went and how it was decided; of people only their number."""

from collections.abc import Iterable

from django.db.models import Count

from readiness.models import Decision, Leg
from vessel.calc.json_value import stamp
from vessel.queries.handover import Cell, Chapter, columns_of


def passages(vessel_id: int) -> Chapter:
    """Every leg that was planned, and what became of it. One query."""
    legs = Leg.objects.filter(vessel_id=vessel_id).select_related("departure", "arrival").annotate(hands=Count("crew"))
    rows: list[tuple[Cell, ...]] = [
        (
            leg.name, leg.departure.name, leg.arrival.name, leg.status, stamp(leg.planned_at), stamp(leg.departed_at),
            stamp(leg.ended_at), leg.hands, leg.outcome,
        )
        for leg in legs.order_by("planned_at", "pk")
    ]  # fmt: skip
    columns = columns_of(
        "name", "from", "to", "status", "planned_at", "departed_at", "ended_at", "persons", "how_it_went"
    )
    return Chapter("passages", "Legs", columns, rows, "Who sailed is not told, only how many.")


def decisions(vessel_id: int) -> Chapter:
    """What was decided on which verdict, with the conditions accepted. One query. Reasons stay with the people."""
    held = Decision.objects.filter(verdict__leg__vessel_id=vessel_id).select_related("verdict__leg")
    rows: list[tuple[Cell, ...]] = [
        (
            decision.verdict.leg.name, stamp(decision.verdict.departure_at), decision.verdict.word,
            stamp(decision.verdict.judged_at), decision.word, stamp(decision.at), decision.against,
            _accepted(decision.conditions), decision.verdict.facts_sha256,
        )
        for decision in held.order_by("at", "pk")
    ]  # fmt: skip
    columns = columns_of(
        "leg", "departure_at", "verdict", "judged_at", "decision", "decided_at", "against_the_verdict",
        "conditions_accepted", "facts_sha256",
    )  # fmt: skip
    return Chapter("decisions", "Decisions", columns, rows)


def _accepted(conditions: Iterable[dict[str, str]]) -> str:
    """The rules and causes accepted; a cause that is a person is not named."""
    kinds = (f"{line['rule']} ({line['cause'].partition(':')[0]})" for line in conditions)
    return "; ".join(kinds)
