"""What people answered to the findings of a leg: decided, met, waived; by name."""

from dataclasses import dataclass
from datetime import datetime

from readiness.models import ConditionMet, Decision, Leg, Waiver
from vessel.models import Person
from vessel.queries.history import names_of

Key = tuple[str, str]  # rule and cause


@dataclass(frozen=True, slots=True)
class WaiverTold:
    """A waiver that was not taken back, with the names of who gave it and who was told."""

    waiver: Waiver
    by: str
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MetTold:
    """A condition somebody says is met, with the name."""

    met: ConditionMet
    by: str


@dataclass(frozen=True, slots=True)
class DecisionTold:
    """A decision with the verdict it stands on and the name."""

    decision: Decision
    by: str
    verdict_word: str
    judged_at: datetime
    departure_at: datetime


@dataclass(frozen=True, slots=True)
class Answers:
    """All of one leg."""

    waivers: dict[Key, WaiverTold]
    met: dict[Key, MetTold]
    met_otherwise: dict[Key, MetTold]  # for another departure, the newest of each
    decisions: tuple[DecisionTold, ...]


def answers_of(leg: Leg, departure_at: datetime) -> Answers:
    """Waivers standing, conditions met for this departure, decisions newest first. Five queries at most."""
    names = names_of(leg.vessel_id)
    waivers = list(Waiver.objects.filter(leg=leg, withdrawn_at=None))
    people = dict(Person.objects.filter(vessel_id=leg.vessel_id).values_list("token", "name")) if waivers else {}
    met = list(ConditionMet.objects.filter(leg=leg, struck_at=None).order_by("at"))
    here, elsewhere = ([row for row in met if (row.departure_at == departure_at) is same] for same in (True, False))
    decisions = Decision.objects.filter(verdict__leg=leg).select_related("verdict").defer("verdict__facts_packed")
    return Answers(
        waivers={
            (row.rule, row.cause): WaiverTold(
                row, names.get(row.by, row.by), tuple(people.get(token, token) for token in row.told)
            )
            for row in waivers
        },
        met=_by_key(here, names),
        met_otherwise=_by_key(elsewhere, names),
        decisions=tuple(_told(row, names) for row in decisions.order_by("-at", "-pk")),
    )


def _by_key(rows: list[ConditionMet], names: dict[str, str]) -> dict[Key, MetTold]:
    return {(row.rule, row.cause): MetTold(row, names.get(row.by, row.by)) for row in rows}


def _told(row: Decision, names: dict[str, str]) -> DecisionTold:
    verdict = row.verdict
    return DecisionTold(
        row, names.get(row.by, row.by), verdict.get_word_display(), verdict.judged_at, verdict.departure_at
    )
