"""Your decision: go or stay on exactly the verdict shown, with the conditions taken on and the waivers beside it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from readiness.actions.decision import decide_as_shown
from readiness.forms.decision import DecideForm, MetForm, StrikeForm
from readiness.models import DecisionWord, Leg, LegStatus
from readiness.queries.decision import Answers, DecisionTold, Key, MetTold, WaiverTold, answers_of
from readiness.queries.facts import facts_for
from readiness.rules.engine import Judged, judge
from readiness.rules.finding import Line, lines_at
from readiness.rules.judgement import Judgement, Outcome, Waive
from readiness.rules.register import RULE_OF
from readiness.rules.report import verdict_word
from readiness.rules.shown import mark_at
from readiness.rules.telling import departure_zone
from readiness.views.picture.runs import MARKS, state_of
from vessel.actions.coming_legs import ask_to_judge
from vessel.errors import BadInput
from vessel.forms.plain import OnceForm
from vessel.models import Membership
from vessel.queries.permission import may
from vessel.views.once import done_once
from vessel.views.permission import needs


@dataclass(frozen=True)
class Condition:
    """One condition: how it stands, who says it is met, or which waiver made it one; and the forms that answer it."""

    line: Line
    met: MetTold | None
    waiver: WaiverTold | None
    meets: MetForm
    strikes: StrikeForm
    is_accepted: bool
    lapsed: MetTold | None = None  # somebody said it is met, for another departure

    @property
    def value(self) -> str:
        """What a tick sends."""
        return f"{self.line.rule} {self.line.cause}"


@dataclass(frozen=True)
class Section:
    """All that the section tells."""

    may_decide: bool
    is_planned: bool
    is_coming: bool
    form: DecideForm
    conditions: list[Condition]
    waivable: list[Line]
    lapsed: list[tuple[WaiverTold, StrikeForm]]
    decisions: tuple[DecisionTold, ...]

    @property
    def is_open(self) -> bool:
        """Whether there is something to decide here for this person."""
        return self.may_decide and self.is_planned and self.is_coming

    @property
    def to_accept(self) -> list[Condition]:
        """Conditions that stand: not met yet, or waived."""
        return [condition for condition in self.conditions if condition.met is None]


@require_http_methods(["GET", "HEAD", "POST"])
@needs("decide")
def decide(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """The decision on a page of its own, and the deed."""
    row, at = found(aboard, pk), timezone.now()
    if request.method != "POST":
        return decision_page(request, aboard, row)
    form = DecideForm(request.POST)

    def deed() -> int:
        given = form.cleaned_data
        return decide_as_shown(
            leg_id=row.pk, shown=given["shown"], word=DecisionWord(given["word"]), by=request.user, at=at,
            accepted=[key_typed(text) for text in given["accepted"]], reason=given["reason"],
        ).pk  # fmt: skip

    if done_once(request, aboard, form, deed, at=at) is not None:
        messages.success(request, "Your decision is written down.")
        return to_section(row)
    return decision_page(request, aboard, row, form)


def decision_page(
    request: HttpRequest, aboard: Membership, row: Leg, form: DecideForm | None = None, refused: OnceForm | None = None
) -> HttpResponse:
    """The section with the verdict above it; with a form that was not taken, or the reason another was refused."""
    try:
        judged = judge(facts_for(leg_id=row.pk, at=timezone.now()))
    except BadInput as reason:
        return render(request, "readiness/leg/cannot.html", {"leg": row, "reason": str(reason)})
    planned = judged.index_at(row.planned_at.timestamp())
    context = {
        "leg": row,
        "word": verdict_word(judged, planned),
        "mark": MARKS[state_of(int(judged.verdict[planned]), -1)].value,
        "departure_at": float(judged.passage.departure_at[planned]),
        "zone": departure_zone(judged.facts),
        "judged_at": judged.facts.judged_at,
        "refused": refused,
        **section(row, judged, planned, aboard, form),
    }
    wrong = form is not None or refused is not None
    return render(request, "readiness/leg/decide.html", context, status=422 if wrong else 200)


def section(
    row: Leg, judged: Judged, chosen: int, aboard: Membership, form: DecideForm | None = None
) -> dict[str, object]:
    """The section for one departure; `form` where one was not taken."""
    planned = judged.index_at(row.planned_at.timestamp())
    answers = answers_of(row, datetime.fromtimestamp(float(judged.passage.departure_at[planned]), UTC))
    shown = mark_at(judged, planned)
    if form is not None:
        form.ask_again(shown=shown)
    lines, ticked = lines_at(judged, planned), form.ticked if form is not None else []
    told = Section(
        may_decide=may(aboard.role, "decide"),
        is_planned=chosen == planned,
        is_coming=row.status == LegStatus.PLANNED,
        form=form or DecideForm(initial={"shown": shown}),
        conditions=list(_conditions(lines, answers, ticked)),
        waivable=list(waivable(judged, planned)),
        lapsed=list(_lapsed(lines, answers)),
        decisions=answers.decisions,
    )
    return {"answers": told}


def _conditions(lines: tuple[Line, ...], answers: Answers, ticked: list[str]) -> Iterator[Condition]:
    for line in lines:
        key = (line.rule, line.cause)
        passed = line.standing == Outcome.PASSED and line.outcome > Outcome.PASSED
        met = answers.met.get(key, answers.met_otherwise.get(key)) if passed else None
        waiver = answers.waivers.get(key) if line.waived else None
        if line.standing == Outcome.CONDITION or met is not None:
            yield Condition(
                line=line,
                met=met,
                waiver=waiver,
                meets=MetForm(initial={"rule": line.rule, "cause": line.cause}, auto_id=False),
                strikes=StrikeForm(initial={"version": waiver.waiver.version if waiver else None}, auto_id=False),
                is_accepted=f"{line.rule} {line.cause}" in ticked,
                lapsed=answers.met_otherwise.get(key) if met is None else None,
            )


def _lapsed(lines: tuple[Line, ...], answers: Answers) -> Iterator[tuple[WaiverTold, StrikeForm]]:
    """Waivers that hold no more: the figure, the day, the leg or the crew is not the one they were given for."""
    holding = {(line.rule, line.cause) for line in lines if line.waived}
    for key, waiver in answers.waivers.items():
        if key not in holding:
            yield waiver, StrikeForm(initial={"version": waiver.waiver.version}, auto_id=False)


def waivable(judged: Judged, index: int) -> Iterator[Line]:
    """The no-goes of one departure whose rule lets a skipper take them on himself."""
    lines = lines_at(judged, index)
    for judgement, line in zip(judged.judgements, lines, strict=True):
        if line.standing == Outcome.NO_GO and _may_be_waived(judgement, index):
            yield line


def _may_be_waived(judgement: Judgement, index: int) -> bool:
    rule_allows = RULE_OF[judgement.rule].waive.get(Outcome.NO_GO, Waive.NEVER) != Waive.NEVER
    never = np.broadcast_to(judgement.never_waived, judgement.outcome.shape)[index]
    known = np.isfinite(np.broadcast_to(judgement.demand, judgement.outcome.shape)[index])
    return bool(rule_allows and known and not never)


def key_typed(text: str) -> Key:
    """Rule and cause of a tick."""
    rule, _, cause = text.partition(" ")
    return rule, cause


def found(aboard: Membership, pk: int) -> Leg:
    """A leg of one's own vessel, or 404."""
    return get_object_or_404(Leg.objects.select_related("departure", "arrival", "vessel"), pk=pk, vessel=aboard.vessel)


def answered(aboard: Membership, row: Leg, at: datetime) -> HttpResponse:
    """Back to the leg's page, which is judged anew as it opens; the kept verdict follows."""
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    return to_section(row)


def to_section(row: Leg) -> HttpResponse:
    """Back to the leg's page, at the heading of the decision."""
    return redirect(f"/legs/{row.pk}/#decision-title")
