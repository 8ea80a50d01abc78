"""The sweep of ten days of departures against the same sums in a clear Python loop per departure.

One leg of 60 miles in 66 steps, a departure every 15 minutes: times, stream, forecast, sea, depth, light, fuel and
gates, each with its answer where something is not known. Both ways must agree before anything is timed.
"""

import json
import os
import subprocess
import sys

import numpy as np

from readiness.calc.daylight import CIVIL, sun_altitude_along
from readiness.calc.sea_state import wave_on_stream
from readiness.calc.sweep import sweep
from readiness.calc.tide import cosine_height
from readiness.calc.weather import at_place
from readiness.calc.window import inside
from tests.benchmarks.row import Row, quickest
from tests.benchmarks.sweep_case import BURN_LPH, DRAUGHT_M, FACTORS, GATES, SPEED, STEPS, Case, Figures
from tests.benchmarks.sweep_loop import Lists, lists_of, one_by_one
from vessel.management.memory import MEMORY_KEPT
from vessel.units import HOUR

TIMED = 40  # departures the loop is timed on


def all_at_once(case: Case) -> Figures:
    """Every departure by arrays."""
    track = case.track
    run = sweep(track, case.departure_at, SPEED, [case.stream], case.stream_of_step, **FACTORS)
    entered = run.node_at[:, :-1]
    east, north, _, height, period, waves_east, waves_north = at_place(
        case.forecast, case.forecast.values["all"], track.node_along_m[:-1], entered
    )
    waves_from = np.degrees(np.arctan2(-waves_east, -waves_north))
    sea = wave_on_stream(height, period, waves_from, run.stream_east_mps, run.stream_north_mps)
    under_keel = case.charted + cosine_height(case.tide, entered) - DRAUGHT_M
    sun = sun_altitude_along(entered, track.node_lat_deg[:-1], track.node_lon_deg[:-1])
    gates = [inside(gate, run.node_at[:, node]) for gate, node in zip(case.gates, GATES, strict=True)]
    return Figures(
        arrives_at=run.arrives_at,
        wind=np.sqrt((east**2 + north**2).max(axis=1)),
        sea=sea.hs_eff_m.max(axis=1),
        steepness=np.where(sea.blocked, 1.0, sea.steepness).max(axis=1),
        under_keel=np.asarray(under_keel).min(axis=1),
        dark_steps=np.sum(sun < CIVIL, axis=1),
        fuel=BURN_LPH * (run.arrives_at - case.departure_at) / HOUR,
        gates_open=np.all(gates, axis=0),
    )


def furthest_apart(case: Case, data: Lists) -> float:
    """Greatest difference of any figure between the two ways."""
    arrays = all_at_once(case)
    columns = np.array([one_by_one(data, float(leaves)) for leaves in case.departure_at[::24]], float).T
    ours = [np.asarray(getattr(arrays, name), float)[::24] for name in Figures.__dataclass_fields__]
    return float(max(np.abs(one - other).max() for one, other in zip(columns, ours, strict=True)))


def ratio() -> tuple[float, float]:
    """Loop by arrays, and milliseconds of the arrays; refuses to measure what does not agree."""
    case = Case()
    data = lists_of(case)
    apart = furthest_apart(case, data)
    if not apart < 1e-3:
        raise AssertionError(f"The two ways differ by {apart}.")
    some = [float(leaves) for leaves in case.departure_at[:: case.departure_at.size // TIMED]]
    loop = quickest(lambda: [one_by_one(data, leaves) for leaves in some], 5) * case.departure_at.size / len(some)
    arrays = quickest(lambda: all_at_once(case), 15)
    return loop / arrays, arrays * 1000


def run() -> list[Row]:
    """The ratio of the two ways in one process, which keeps freed memory as the served ones do."""
    command = [sys.executable, "-m", "tests.benchmarks.sweep"]
    kept = {**os.environ, **MEMORY_KEPT}
    answer = subprocess.run(command, env=kept, capture_output=True, check=True, text=True)  # noqa: S603 our own module
    figure, milliseconds = json.loads(answer.stdout)
    name = f"sweep of 960 departures x {STEPS} steps, all sums"
    timed = f"loop / arrays (loop timed on {TIMED} departures and scaled)"
    return [
        Row(f"{name}, {timed}", figure, "x", ">= 35", figure >= 35),
        Row(f"{name}, arrays", milliseconds, "ms", "none", met=True),
    ]


if __name__ == "__main__":
    sys.stdout.write(json.dumps(ratio()))
