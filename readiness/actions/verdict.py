"""Judging a leg and keeping the verdict: facts, rules, one saved row."""

import hashlib
import zlib
from datetime import UTC, datetime
from typing import Any

import numpy as np
from django.db import transaction

from readiness.models import Leg, OutlookWord, Verdict, VerdictWord
from readiness.queries.facts import facts_for
from readiness.rules.engine import ENGINE_VERSION, Judged, judge
from readiness.rules.facts import encode
from readiness.rules.facts_water import Departures
from readiness.rules.finding import findings_at, lines_at
from readiness.rules.report import as_data
from readiness.rules.waiver import cause_text
from vessel.actions.author import By, token_of


def judge_leg(*, leg_id: int, at: datetime, by: By, departures: Departures | None = None) -> Verdict:
    """Judge a leg as it stands and keep the verdict of its planned departure as the newest.

    An older one stays beside it where its word or deciding cause differs or somebody decided on it; else it is
    written over. Where a later judging was kept meanwhile, that one stands and is given back.
    Raises Leg.DoesNotExist, and BadInput where the facts cannot be judged; then nothing is changed.
    """
    facts = facts_for(leg_id=leg_id, at=at, departures=departures)
    judged = judge(facts)
    index = judged.index_at(facts.leg.planned_at.timestamp())
    token = by if isinstance(by, str) else token_of(by=by, vessel_id=Leg.objects.get(pk=leg_id).vessel_id)
    return _keep(leg_id, {**_columns(judged, index), "judged_at": at, "by": token})


@transaction.atomic
def _keep(leg_id: int, columns: dict[str, Any]) -> Verdict:
    newest = (
        Verdict.objects.select_for_update(of=("self",))
        .select_related("decision")
        .filter(leg_id=leg_id, is_newest=True)
        .first()
    )
    if newest is not None and newest.judged_at > columns["judged_at"]:
        return newest
    if newest is not None and _says_the_same(newest, columns):
        for name, value in columns.items():
            setattr(newest, name, value)
        newest.save(force_update=True)
        return newest
    if newest is not None:
        Verdict.objects.filter(pk=newest.pk).update(is_newest=False)
    return Verdict.objects.create(leg_id=leg_id, is_newest=True, **columns)


def _says_the_same(newest: Verdict, columns: dict[str, Any]) -> bool:
    same = all(
        getattr(newest, name) == columns[name] for name in ("word", "outlook", "deciding_rule", "deciding_cause")
    )
    return same and not hasattr(newest, "decision")


def _columns(judged: Judged, index: int) -> dict[str, Any]:
    document = encode(judged.facts)
    data = as_data(judged, index)
    deciding = judged.judgements[int(judged.deciding[index])]
    findings = findings_at(lines_at(judged, index))
    blocking = bool(judged.verdict[index])
    return {
        "departure_at": datetime.fromtimestamp(float(judged.passage.departure_at[index]), UTC),
        "word": VerdictWord.values[int(judged.verdict[index])],
        "outlook": OutlookWord.values[int(judged.outlook[index])],
        "deciding_rule": deciding.rule if blocking else "",
        "deciding_cause": cause_text(deciding) if blocking else "",
        "sentence": findings[0].words.sentence if findings else "",
        "facts_packed": zlib.compress(document, 6),
        "facts_sha256": hashlib.sha256(document).hexdigest(),
        "findings": data["findings"],
        "subjects": data["subjects"],
        "margins": data["margins"],
        "changes": data["changes"],
        "departures": _strip(judged),
        **{f"{name}_at": data[name] and datetime.fromisoformat(data[name]) for name in ("early", "plan", "late")},
        "engine_version": ENGINE_VERSION,
        "numpy_version": np.__version__,
    }


def _strip(judged: Judged) -> dict[str, Any]:
    """All departures, short: words by their place, and what decides by its place in a list."""
    causes = [[judgement.rule, cause_text(judgement)] for judgement in judged.judgements]
    used, places = np.unique(judged.deciding, return_inverse=True)
    departures = judged.facts.departures
    return {
        "first": departures.first.isoformat(),
        "every_s": departures.every_s,
        "verdict": judged.verdict.tolist(),
        "outlook": judged.outlook.tolist(),
        "deciding": places.tolist(),
        "causes": [causes[int(place)] for place in used],
    }
