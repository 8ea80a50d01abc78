"""The judged leg as the pictures want it: strip of departures, chosen day by subject, tide at the last gate."""

from functools import cache
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from readiness.calc.window import last_closing_in
from readiness.rules.engine import OUTLOOK_OF, VERDICT_OF, Judged, deciding
from readiness.rules.finding import Score, lines_at, scores
from readiness.rules.gate_times import GateCall, gate_calls
from readiness.rules.gates import by_tide, never_opens
from readiness.rules.judgement import Outcome, Outlook, Subject, Verdict
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.register import RULE_OF
from readiness.rules.telling import arrival_zone, departure_zone
from readiness.rules.way_out import place_of
from readiness.views.picture.axis import day_of
from readiness.views.picture.day import DaySubjects, HighLow, Lane
from readiness.views.picture.departure_words import Deciding
from readiness.views.picture.departures import DepartureStrip
from readiness.views.picture.tide_gate import TideGate
from vessel.units import DAY, HOUR, Flags

WATER_RULES = ("under_keel", "gate_on_arrival", "getting_out", "tide_data")  # what the line under a row stands for
BEST = 3
HOPELESS = 99  # worth of a departure nobody would wait for
EITHER_SIDE_S = 8 * HOUR  # of tide drawn about the plan at a gate
EVERY_S = 600.0


def strip_of(judged: Judged, chosen: int) -> DepartureStrip:
    """Every departure with its verdict, outlook and deciding reason."""
    return DepartureStrip(
        zone=departure_zone(judged.facts),
        at=judged.passage.departure_at.tolist(),
        verdict=judged.verdict.tolist(),
        outlook=_outlook_shown(judged),
        gate_open=_water_allows(judged).tolist(),
        deciding=_deciding(judged),
        sun_altitude_deg=judged.passage.sun_plan_deg[:, 0].tolist(),
        tide_m=_tide_at_departure(judged, judged.passage.departure_at).tolist(),
        best=best_of(judged),
        chosen=chosen,
    )


def best_of(judged: Judged, count: int = BEST) -> list[int]:
    """The middle departure of the best and longest stretch of each day, best days first; hopeless days give none."""
    worth = np.where(_hopeless(judged), HOPELESS, judged.verdict.astype(int) * 3 + judged.outlook)
    zone = departure_zone(judged.facts)
    days = groupby(range(len(worth)), key=lambda index: day_of(float(judged.passage.departure_at[index]), zone).on)
    middles = [_middle_of_best(worth, list(places)) for _, places in days]
    hopeful = [place for place in middles if worth[place] < HOPELESS]
    return sorted(hopeful, key=lambda place: (worth[place], place))[:count]


def _middle_of_best(worth: NDArray[np.int64], places: list[int]) -> int:
    stretches = [list(stretch) for _, stretch in groupby(places, key=lambda place: int(worth[place]))]
    best = min(stretches, key=lambda stretch: (worth[stretch[0]], -len(stretch)))
    return best[len(best) // 2]


def _hopeless(judged: Judged) -> Flags:
    """No-go, or not known with a poor outlook."""
    poor = (judged.verdict == Verdict.CANNOT_SAY_YET) & (judged.outlook == Outlook.POOR)
    return np.asarray((judged.verdict == Verdict.NO_GO) | poor)


def day_of_choice(judged: Judged, chosen: int) -> DaySubjects:
    """The chosen day, subject by subject."""
    at = judged.passage.departure_at
    by_subject = {score.subject: score for score in scores(lines_at(judged, chosen))}
    subjects = np.array([RULE_OF[judgement.rule].subject for judgement in judged.judgements])
    lanes = [
        _lane(judged, subject.value, subjects == subject, by_subject[subject])
        for subject in Subject
        if subject in by_subject
    ]
    everything = np.ones(subjects.shape, np.bool_)
    return DaySubjects(
        zone=departure_zone(judged.facts),
        at=at.tolist(),
        sun_altitude_deg=judged.passage.sun_plan_deg[:, 0].tolist(),
        tide_m=_tide_at_departure(judged, at).tolist(),
        tide_place=_place_name(judged, judged.facts.leg.departure_place),
        high_low=_high_low(judged, _departure_station(judged), float(at[0]) - DAY, float(at[-1]) + DAY),
        together=_lane(judged, "All together", everything, _weakest(list(by_subject.values()))),
        lanes=lanes,
        chosen=chosen,
    )


def gate_of_choice(judged: Judged, chosen: int) -> TideGate | None:
    """The last gate of the leg that opens by the tide, with that tide; None where the leg has none that is known."""
    passage = judged.passage
    calls = [call for call in gate_calls(judged.facts, passage) if _by_known_tide(call, passage)]
    call = calls[-1] if calls else None
    if call is None or call.gate is None or not np.isfinite(call.plan_at[chosen]):
        return None
    plan, station = float(call.plan_at[chosen]), call.gate.station or ""
    at = np.arange(plan - EITHER_SIDE_S, plan + EITHER_SIDE_S + 1, EVERY_S)
    windows = passage.windows[call.key]
    return TideGate(
        zone=arrival_zone(judged.facts),
        open_words=f"{call.gate.kind.value} open",
        at=at.tolist(),
        height_m=np.asarray(passage.tides[station].height(at)).tolist(),
        high_low=_high_low(judged, station, at[0], at[-1]),
        opens=list(zip(windows.opens_at.tolist(), windows.closes_at.tolist(), strict=True)),
        early=float(call.early_at[chosen]),
        plan=plan,
        late=float(call.late_at[chosen]),
        last_entry=_last_entry(judged, call, plan),
    )


def _by_known_tide(call: GateCall, passage: Passage) -> bool:
    """Narrows go by the stream and a fixed bridge never opens: neither has an opening to draw against the tide."""
    gate = call.gate
    if gate is None or never_opens(gate) or call.key not in passage.windows:
        return False
    return by_tide(gate) and (gate.station or "") in passage.tides


def _last_entry(judged: Judged, call: GateCall, plan: float) -> float:
    assert call.gate is not None  # noqa: S101 - asked of known gates only
    closes = float(np.asarray(last_closing_in(judged.passage.windows[call.key], plan)))
    return closes - call.gate.last_entry_s


def _lane(judged: Judged, name: str, rows: Flags, score: Score | None) -> Lane:
    standing = judged.standing[rows]
    verdict = VERDICT_OF[standing.max(axis=0)]
    outlook = OUTLOOK_OF[VERDICT_OF[judged.ripe[rows].max(axis=0)]]
    return Lane(
        name=name,
        verdict=verdict.tolist(),
        outlook=list(map(int, np.where(verdict == Verdict.CANNOT_SAY_YET, outlook, -1))),
        reason=score.held_down_by if score is not None else "",
        score=_score_text(score),
    )


def _score_text(score: Score | None) -> str:
    if score is None or score.number is None:
        return ""
    return f"{score.number}?" if score.unknowns else str(score.number)


def _weakest(held: list[Score]) -> Score | None:
    """The lowest subject leads; nothing is averaged."""
    return max(held, key=lambda score: (score.outcome, -(score.number or 0)), default=None)


def _outlook_shown(judged: Judged) -> list[int]:
    """The outlook where there is no verdict yet, -1 elsewhere."""
    return list(map(int, np.where(judged.verdict == Verdict.CANNOT_SAY_YET, judged.outlook, -1)))


def _water_allows(judged: Judged) -> Array:
    rows = [row for row, judgement in enumerate(judged.judgements) if judgement.rule in WATER_RULES]
    return np.asarray((judged.standing[rows] < Outcome.UNKNOWN).all(axis=0))


def _deciding(judged: Judged) -> Deciding:
    """Why each departure is not a go; what the water line shows already comes last."""
    water = np.array([judgement.rule in WATER_RULES for judgement in judged.judgements])
    rows = deciding(judged.standing, judged.ripe, water)

    @cache  # a day's words, its label and its lines of the table ask for the same departures
    def tell(index: int) -> str:
        return judged.judgements[int(rows[index])].say(index).title if judged.verdict[index] else ""

    return Deciding(rows.tolist(), tell)


def _departure_station(judged: Judged) -> str:
    place = place_of(judged.facts, judged.facts.leg.departure_place)
    return (place.station if place is not None else None) or ""


def _tide_at_departure(judged: Judged, at: Array) -> Array:
    tide = judged.passage.tides.get(_departure_station(judged))
    return np.asarray(tide.height(at)) if tide is not None else np.full(len(at), np.nan)


def _high_low(judged: Judged, station: str, start: float, end: float) -> list[HighLow]:
    tide = judged.passage.tides.get(station)
    if tide is None:
        return []
    events = zip(tide.events.at, tide.events.height_m, tide.events.high, strict=True)
    return [HighLow(float(at), float(height), bool(high)) for at, height, high in events if start <= at < end]


def _place_name(judged: Judged, key: str) -> str:
    place = place_of(judged.facts, key)
    return place.name if place is not None else key
