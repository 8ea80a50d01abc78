"""Speed and fuel in words: what the runs say of the table, and what the tables lack."""

import math

from readiness.calc.fuel import LEAST_RUNS, Fit
from readiness.queries.facts_boat import RUNS
from readiness.queries.speed import RunTold, SpeedTold
from readiness.rules.slowed_by_sea import NO_TABLE
from vessel.calc.wording import NOT_KNOWN, knots, number, with_unit
from vessel.models import SeaSpeed

OUTSIDE, NOT_COMPARED = "outside the table", "not compared"
IN_A_SEA = (
    "Between the rows she keeps a share between theirs. Higher than the last row, or where no sea is forecast, the least "
    "of the table counts, and a higher sea never keeps more."
)


def fit_sentence(told: SpeedTold) -> str:
    """What the runs say of the table, and which of the two counts."""
    fit = told.fit
    if not told.points:
        return "There is no speed table to compare runs with."
    if fit.runs < LEAST_RUNS:
        return f"{_few(fit.runs)} The table stands as it is; it takes {LEAST_RUNS} to say more."
    if math.isnan(fit.factor):
        return "The table has a row without fuel, so what her runs used of it is not known."
    said = f"{fit.runs} runs used {number(fit.factor, 2)} of what the table says, the middle half {middle_half(fit)}."
    if fit.factor > 1:
        return f"{said} The worse counts: legs are reckoned with the table × {number(fit.factor, 2)}."
    return f"{said} The worse counts: the table stands as it is."


def _few(runs: int) -> str:
    return ("No run can be compared with the table.", "1 run is compared with it.", "2 runs are compared with it.")[
        runs
    ]


def middle_half(fit: Fit) -> str:
    """The spread of half the runs."""
    return f"{number(fit.low, 2)} to {number(fit.high, 2)}"


def gap_sentence(told: SpeedTold) -> str:
    """What a missing figure of the speed table costs; empty where it is whole."""
    bare = [str(row) for row in told.points if row.burn_l_per_h is None]
    if not bare:
        return ""
    return f"Fuel burnt at {' and '.join(bare)} is not known. So what she burns is not known at any speed."


def fit_terms(told: SpeedTold) -> list[tuple[str, str]]:
    """The figures of the fit; what there are too few runs for is not known."""
    fit, outside = told.fit, sum(math.isinf(run.expected_l) for run in told.counted)
    known = math.isfinite(fit.factor)
    return [
        ("Median share of the table", number(fit.factor, 2)),
        ("Middle half of the runs", middle_half(fit) if known else NOT_KNOWN),
        (f"Compared, the newest {RUNS} at most", f"{fit.runs}"),
        *([("Left out", f"{outside} outside the table")] if outside else []),
    ]


def run_cells(run: RunTold) -> dict[str, object]:
    """A run as its row of the table."""
    use = run.use
    outside = math.isinf(run.expected_l)
    return {
        "run": run,
        "meter": f"{number(use.from_engine_hours, 1)} to {number(use.to_engine_hours, 1)} h",
        "pace": f"{number(use.mean_rpm)} rpm" if use.mean_rpm else knots(use.mean_speed_mps, 1),
        "used": with_unit(use.used_l, "L", 1),
        "expected": OUTSIDE if outside else with_unit(run.expected_l, "L", 1),
        "share": NOT_COMPARED if outside else number(run.share, 2),
    }


def sea_cells(row: SeaSpeed) -> dict[str, object]:
    """A height of sea with what she keeps of her speed."""
    shares = (("Ahead", row.ahead), ("Abeam", row.abeam), ("Astern", row.astern))
    return {"row": row, "shares": [(name, with_unit(100 * share, "%")) for name, share in shares]}


def sea_sentence(told: SpeedTold) -> str:
    """How the table of seas is used, or what is done without one."""
    return IN_A_SEA if told.seas else NO_TABLE
