"""Facts of the people of a leg, the one ashore, and the policies."""

from collections.abc import Iterable
from datetime import date, datetime
from itertools import groupby
from operator import itemgetter
from typing import Any

from django.db.models import FilteredRelation, Q

from readiness.models import Leg, LegCrew
from readiness.queries.facts_date import last_day
from readiness.rules.facts_people import Box, Clause, Contact, Person, Policy, Span
from readiness.rules.words_of_trade import Skill
from vessel.models import Answer, Fitness, Paper, PaperKind

SKILLS = {
    "can_helm": Skill.HELM,
    "can_night": Skill.NIGHT,
    "can_lead": Skill.WATCH_LEADER,
    "can_lines": Skill.LINES,
    "can_engine": Skill.ENGINE,
    "can_radio": Skill.RADIO,
    "can_first_aid": Skill.FIRST_AID,
}
FIT = {Fitness.YES: True, Fitness.LIMITS: False, Fitness.NO: False, None: None}
WHOLE_YEAR = tuple(range(1, 13))


def crew_of(leg_id: int, at: datetime) -> tuple[tuple[Person, ...], dict[str, str]]:
    """The people of a leg, skipper first, with their coming stays aboard; and their names by token. One query."""
    columns = ["person_id", "skipper", *(f"person__{name}" for name in ("name", "token", "fit", "jacket_size"))]
    columns += [f"person__{column}" for column in SKILLS]
    columns += [f"stay__{name}" for name in ("aboard_from", "aboard_until", "must_leave_at", "free_to_stay", "answer")]
    rows = (
        LegCrew.objects.filter(leg_id=leg_id)
        .annotate(
            stay=FilteredRelation("person__availabilities", condition=Q(person__availabilities__aboard_until__gt=at))
        )
        .order_by("-skipper", "person_id", "stay__aboard_from")
        .values(*columns)
    )
    groups = [list(group) for _, group in groupby(rows, key=itemgetter("person_id"))]
    names = {group[0]["person__token"]: group[0]["person__name"] for group in groups}
    return tuple(_person(group) for group in groups), names


def _person(stays: list[dict[str, Any]]) -> Person:
    first = stays[0]
    offered = [stay for stay in stays if stay["stay__answer"] is not None]
    aboard = [stay for stay in offered if stay["stay__answer"] != Answer.NO]
    leaving = [stay["stay__must_leave_at"] for stay in aboard if stay["stay__must_leave_at"]]
    return Person(
        name=first["person__name"],
        skipper=first["skipper"],
        skills=tuple(skill for column, skill in SKILLS.items() if first[f"person__{column}"]),
        fit=FIT[first["person__fit"]],
        confirmed=_confirmed(offered, aboard),
        aboard=tuple(Span(start=stay["stay__aboard_from"], end=stay["stay__aboard_until"]) for stay in aboard),
        must_leave_at=min(leaving, default=None),
        free_to_stay=bool(aboard) and all(stay["stay__free_to_stay"] for stay in aboard),
        jacket_size=first["person__jacket_size"],
    )


def _confirmed(offered: list[dict[str, Any]], aboard: list[dict[str, Any]]) -> bool | None:
    """True when every stay is confirmed, False when every answer is no, else not known."""
    if offered and not aboard:
        return False
    return True if aboard and all(stay["stay__answer"] == Answer.YES for stay in aboard) else None


def contact_of(leg: Leg) -> Contact | None:
    """The person ashore who has the plan. No query."""
    if not leg.contact_name:
        return None
    return Contact(
        name=leg.contact_name,
        told_at=leg.contact_told_at,
        acknowledged=leg.contact_acknowledged,
        overdue_at=leg.overdue_at,
    )


def policies_of(vessel_id: int) -> tuple[Policy, ...] | None:
    """The policies of a vessel; None where nobody entered one. One query."""
    papers = Paper.objects.filter(vessel_id=vessel_id, kind=PaperKind.POLICY).order_by("pk")
    return tuple(_policy(paper) for paper in papers) or None


def _policy(paper: Paper) -> Policy:
    return Policy(
        name=paper.name,
        from_on=paper.valid_from,
        through_on=last_day(paper.valid_until, paper.valid_until_precision),
        area=Box(**paper.area) if paper.area else None,
        months=tuple(paper.months) or WHOLE_YEAR,
        night_covered=paper.night_covered,
        single_handed_covered=paper.single_handed_covered,
        clauses=tuple(_clauses(paper.conditions)),
    )


def _clauses(conditions: Iterable[dict[str, Any]]) -> Iterable[Clause]:
    for condition in conditions:
        due_on = condition.get("due_on")
        yield Clause(
            text=condition["text"], due_on=date.fromisoformat(due_on) if due_on else None, met=condition.get("met")
        )
