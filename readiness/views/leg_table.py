"""The leg as a table: each point with mile, times, stream, speed over the ground and water under the keel."""

from dataclasses import dataclass

from readiness.calc.tidal_stream import along_and_across
from readiness.rules.depth import depth_at
from readiness.rules.engine import Judged


@dataclass(frozen=True)
class LegRow:
    """One point at the chosen departure; figures of the segment that leads to it, NaN at the first point."""

    name: str
    along_m: float
    plan_at: float
    late_at: float
    stream_mps: float  # along the course, fair positive
    sog_mps: float
    under_keel_m: float


def leg_rows(judged: Judged, chosen: int) -> list[LegRow]:
    """A row for each point of the leg."""
    return [_row(judged, chosen, number) for number in range(len(judged.facts.leg.points))]


def _row(judged: Judged, chosen: int, number: int) -> LegRow:
    facts, passage, track = judged.facts, judged.passage, judged.passage.track
    node = int(passage.point_node[number])
    step = node - 1
    east, north = passage.plan.stream_east_mps, passage.plan.stream_north_mps
    led = number > 0 and step >= 0
    along = along_and_across(east[chosen, step], north[chosen, step], track.step_course_deg[step])[0] if led else None
    return LegRow(
        name=facts.leg.points[number].name,
        along_m=float(track.node_along_m[node]),
        plan_at=float(passage.plan.node_at[chosen, node]),
        late_at=float(passage.late.node_at[chosen, node]),
        stream_mps=float(along) if along is not None else float("nan"),
        sog_mps=float(passage.plan.sog_mps[chosen, step]) if led else float("nan"),
        under_keel_m=float(depth_at(facts, passage, number, facts.leg.points[number]).at_plan_m[chosen]),
    )
