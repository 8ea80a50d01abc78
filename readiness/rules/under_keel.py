"""Water under the keel at each point of the leg, by plan and at its lowest from early to late."""

from collections.abc import Iterator

import numpy as np

from readiness.rules.depth import Depth, depth_at
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Point
from readiness.rules.judgement import Judgement, Outcome, Outcomes, Rule, Subject, Waive, Words, late_only
from readiness.rules.limits import Limits
from readiness.rules.missing import LATE_ARRIVAL, forecast_missing, not_asked
from readiness.rules.passage import Passage
from readiness.rules.telling import arrival_zone
from readiness.rules.way_out import passes, place_of, refuge_in_reach, why_no_refuge
from vessel.calc.wording import metres, toward_limit, with_utc
from vessel.units import HOUR, Flags

RULE_ID = "under_keel"
CLEARS_WITHIN_S = 3 * HOUR  # a wait place helps where it clears so soon [practice]


def under_keel(facts: Facts, passage: Passage, limits: Limits) -> Iterator[Judgement]:
    """One judgement for each point after the departure at which depth matters.

    Source: [practice]
    """
    points = [
        (number, point) for number, point in enumerate(facts.leg.points) if number and point.depth_matters is not False
    ]
    if not points:
        yield not_asked(RULE_ID, passage, "Water under the keel", "Deep water by the chart at every point.")
    depths = {number: depth_at(facts, passage, number, point) for number, point in points}
    judgements = [_judgement(facts, passage, limits, number, point, depths[number]) for number, point in points]
    yield from judgements
    yield from _weather_missing(facts, passage, list(depths.values()), judgements)


def _weather_missing(
    facts: Facts, passage: Passage, depths: list[Depth], judgements: list[Judgement]
) -> Iterator[Judgement]:
    """One finding for all the points that wait for pressure or sea, and are not shallow whatever it brings."""
    wanted = np.zeros(passage.departures, bool)
    values = np.zeros_like(passage.weather.pressure_hpa)
    for depth, judgement in zip(depths, judgements, strict=True):
        waits = np.isnan(depth.weather) & (judgement.outcome < Outcome.UNKNOWN)
        values[waits, depth.step], wanted = np.nan, wanted | waits
    yield from forecast_missing(RULE_ID, facts, passage, wanted, values, "pressure and sea")


def _judgement(facts: Facts, passage: Passage, limits: Limits, number: int, point: Point, depth: Depth) -> Judgement:
    node = max(int(passage.point_node[number]) - 1, 0)
    wait = _can_wait(facts, passage, number, point, depth)
    leans = bool((depth.lowest_m < depth.need_m).any())  # only then is a way out worth the sums
    way_out = refuge_in_reach(facts, passage, node) if leans else np.zeros(passage.departures, np.bool_)
    outcome = _outcome(depth, limits, way_out, wait)
    missing, shallow = outcome == Outcome.UNKNOWN, _shallow(depth)
    runs = (passage.early, passage.plan, passage.late)
    timeless = np.isnan(np.sum([passage.at_point(run, number) for run in runs], axis=0))
    by_chart = np.isfinite(point.charted_m - facts.boat.vessel.draught_m) and (point.station or "") in passage.tides
    zone = arrival_zone(facts)

    def say(index: int) -> Words:
        lowest, need = float(depth.lowest_m[index]), float(depth.need_m[index])
        at = with_utc(float(passage.at_point(passage.plan, number)[index]), zone)
        if missing[index]:
            sentence = f"Water under the keel at {point.name} cannot be told: depth or tide is not known."
        elif np.isnan(depth.weather[index]):
            least = metres(float(depth.best_m[index]), 2)
            sentence = f"{least} at most under the keel at {point.name}, before pressure and sea; plan {at}."
        else:
            sentence = (
                f"Least water under the keel at {point.name} {metres(lowest, 2)}, {metres(need, 2)} wanted; plan {at}."
            )
        if outcome[index] == Outcome.NO_GO and not shallow[index]:
            sentence += f" {why_no_refuge(facts, passage, node, index)}"
        return Words(
            title=f"Water at {point.name}",
            sentence=sentence,
            do="Wait for more water or choose another time." if outcome[index] > Outcome.PASSED else "",
            sums=(("Depth by chart", metres(point.charted_m, 2)),
                  ("Under the keel by plan", metres(float(depth.at_plan_m[index]), 2)),
                  ("Lowest from early to late", metres(lowest, 2)),
                  (f"Wanted: {limits.under_keel_m:.2f} m and half the sea", metres(need, 2))),
            evidence=(("station", point.station or ""),),
            margin=f"{toward_limit(lowest - need, 0.0, 2)} m" if not outcome[index] else "",
        )  # fmt: skip

    return Judgement(
        rule=RULE_ID,
        cause=("point", point.name) if (point.station or "") in passage.tides else ("tide", point.station or ""),
        outcome=outcome,
        demand=depth.lowest_m,
        limit=depth.need_m,
        unit="m",
        say=say,
        starved_by=LATE_ARRIVAL,
        starved=timeless & by_chart,
    )


def _outcome(depth: Depth, limits: Limits, way_out: Flags, wait: Flags) -> Outcomes:
    no_go, passed, condition = np.int8(Outcome.NO_GO), np.int8(Outcome.PASSED), np.int8(Outcome.CONDITION)
    shallow = _shallow(depth)
    at_plan = np.where(shallow, np.where(wait, condition, no_go), passed)
    at_late = np.where(depth.lowest_m < depth.need_m, no_go, passed)
    doubtful = np.where(depth.lowest_m - limits.height_doubt_m < depth.need_m, condition, passed)
    # a shallow plan is answered by the wait place; only a good plan with a shallow late figure may lean on a refuge
    outcome = np.where(shallow, at_plan, late_only(passed * np.ones_like(at_late), at_late, way_out))
    outcome = np.maximum(outcome, doubtful)
    unsure = np.isnan(depth.best_m) | (np.isnan(depth.lowest_m + depth.need_m) & ~np.isnan(depth.weather))
    return np.where(unsure, np.maximum(outcome, np.int8(Outcome.UNKNOWN)), outcome).astype(np.int8)


def _shallow(depth: Depth) -> Flags:
    """Where there is too little water by plan already."""
    return np.asarray((depth.at_plan_m < depth.need_m) | (depth.best_m < depth.least_need_m))


def _can_wait(facts: Facts, passage: Passage, number: int, point: Point, depth: Depth) -> Flags:
    """Whether the wait place of the point's gate takes her and the point clears within three hours."""
    gate = next((gate for gate in facts.water.gates if gate.key == point.gate), None)
    place = place_of(facts, gate.wait_place if gate is not None else None)
    tide = passage.tides.get(point.station or "")
    if place is None or tide is None:
        return np.zeros(passage.departures, bool)
    plan = passage.at_point(passage.plan, number)
    later = plan[:, None] + np.linspace(0.0, CLEARS_WITHIN_S, 37)
    rise = np.asarray(tide.height(later)) - np.asarray(tide.height(plan))[:, None]
    clears = (depth.at_plan_m[:, None] + rise >= depth.need_m[:, None]).any(axis=-1)
    return np.asarray(clears & passes(facts, passage, place, plan))


RULE = Rule(
    id=RULE_ID,
    title="Water under the keel",
    subject=Subject.WATER,
    formula="Charted depth + tide + min(0, −(pressure − 1013) × 0.01 m) − draught, against 0.30 m + half the sea. By plan "
    "too little: no-go, or a condition with a good wait place that clears in 3 h. Too little only from early to late: a "
    "condition where a refuge passes, else no-go. Enough, but not with 0.20 m of doubt taken off: condition.",
    source="[practice]",
    worst=Outcome.NO_GO,
    judge=under_keel,
    limits=("under_keel_m", "height_doubt_m"),
    waive={Outcome.NO_GO: Waive.NEVER, Outcome.CONDITION: Waive.ONE_LEG},
)
