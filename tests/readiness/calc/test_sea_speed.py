"""Speed kept in waves: on the rows, between them, beyond them, and never more for knowing less."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.sea_speed import SeaTable, share_kept
from readiness.calc.sweep import sweep
from readiness.calc.tidal_stream import steady
from readiness.calc.track import cut
from vessel.units import HOUR, KNOT, NAUTICAL_MILE, Array

TABLE = SeaTable(np.array([1.0, 2.0]), np.array([[0.90, 0.95, 1.0], [0.60, 0.80, 0.90]]))
PLAN = {"speed_factor": 1.0, "fair_factor": 1.0, "foul_factor": 1.0, "slip_s": 0.0}


def kept(sea_m: float, angle: float, table: SeaTable = TABLE) -> float:
    return float(np.asarray(share_kept(table, sea_m, angle)))


@pytest.mark.parametrize(
    ("sea_m", "angle", "share"),
    [
        (0.0, 0.0, 1.0), (0.5, 0.0, 0.95), (1.0, 0.0, 0.90), (1.5, 0.0, 0.75), (2.0, 0.0, 0.60),
        (1.0, 90.0, 0.95), (1.0, 180.0, 1.0), (2.0, 45.0, 0.70), (2.0, 135.0, 0.85),
        (2.01, 180.0, 0.60), (9.0, 90.0, 0.60),
        (np.nan, 0.0, 0.60), (1.0, np.nan, 0.90), (np.nan, np.nan, 0.60),
    ],
)  # fmt: skip
def test_on_the_rows_between_them_beyond_them_and_not_known(sea_m: float, angle: float, share: float) -> None:
    assert kept(sea_m, angle) == pytest.approx(share)


def test_the_rows_may_come_in_any_order() -> None:
    turned = SeaTable(TABLE.height_m[::-1], TABLE.share[::-1])

    assert kept(1.5, 30.0, turned) == kept(1.5, 30.0)


def test_a_row_that_keeps_more_in_a_higher_sea_is_not_believed() -> None:
    odd = SeaTable(np.array([1.0, 2.0]), np.array([[0.8, 0.8, 0.8], [0.9, 0.9, 0.9]]))

    assert kept(2.0, 0.0, odd) == 0.8


@pytest.mark.parametrize(
    "table",
    [
        SeaTable(np.array([1.0, np.nan]), TABLE.share),
        SeaTable(np.array([0.0, 2.0]), TABLE.share),
        SeaTable(TABLE.height_m, np.array([[0.9, np.nan, 1.0], [0.6, 0.8, 0.9]])),
        SeaTable(TABLE.height_m, np.array([[1.1, 1.0, 1.0], [0.6, 0.8, 0.9]])),
    ],
)
def test_a_table_with_a_gap_or_no_table_of_shares_says_nothing(table: SeaTable) -> None:
    assert np.isnan(kept(0.5, 0.0, table))


shares = st.floats(0.3, 1.0)


@given(
    st.lists(st.tuples(st.floats(0.1, 5.0), shares, shares, shares), min_size=1, max_size=5),
    st.floats(0.0, 6.0),
    st.floats(0.0, 180.0),
)
def test_knowing_less_or_more_sea_is_never_faster(
    rows: list[tuple[float, float, float, float]], sea_m: float, angle: float
) -> None:
    values = np.array(rows)
    table = SeaTable(values[:, 0], values[:, 1:])
    known = kept(sea_m, angle, table)

    assert kept(np.nan, angle, table) <= known + 1e-12
    assert kept(sea_m, np.nan, table) <= known + 1e-12
    assert kept(sea_m + 0.5, angle, table) <= known + 1e-12
    assert 0.0 <= known <= 1.0


def test_the_sweep_takes_off_what_is_met_on_entering_each_step() -> None:
    track = cut(np.array([46.5, 46.5]), np.array([-15.0, -14.8]), np.array([False]), NAUTICAL_MILE)
    stream = steady(90.0, 0.5 * KNOT, -1e9, 1e9)
    index = np.zeros(track.step_m.size, np.int64)

    def share(step: int, at: Array) -> Array:
        return np.where(at < HOUR, 0.9, 0.6) if step else np.ones(at.shape)

    run = sweep(track, np.array([0.0, 2 * HOUR]), 7 * KNOT, [stream], index, share, **PLAN)

    for row, leaves in enumerate((0.0, 2 * HOUR)):
        at = leaves
        for step, length in enumerate(track.step_m):
            speed = 7 * KNOT * (1.0 if step == 0 else 0.9 if at < HOUR else 0.6)
            at += length / (speed + 0.5 * KNOT)
        assert run.arrives_at[row] == pytest.approx(at)


def test_a_whole_share_changes_no_bit_of_the_sweep() -> None:
    track = cut(np.array([46.5, 46.9]), np.array([-15.0, -14.2]), np.array([False]), NAUTICAL_MILE)
    stream = steady(40.0, 1.3 * KNOT, -1e9, 2 * HOUR)
    index, leaves = np.zeros(track.step_m.size, np.int64), np.arange(5.0) * HOUR

    plain = sweep(track, leaves, 7 * KNOT, [stream], index, **PLAN)
    whole = sweep(track, leaves, 7 * KNOT, [stream], index, lambda _, at: np.ones(at.shape), **PLAN)

    assert np.array_equal(plain.node_at, whole.node_at, equal_nan=True)
    assert np.array_equal(plain.sog_mps, whole.sog_mps, equal_nan=True)


def test_a_share_that_is_not_known_leaves_the_times_not_known() -> None:
    track = cut(np.array([46.5, 46.5]), np.array([-15.0, -14.8]), np.array([False]), NAUTICAL_MILE)

    nothing = np.full(track.step_m.size, -1)

    run = sweep(track, np.array([0.0]), 7 * KNOT, [], nothing, lambda _, at: np.full(at.shape, np.nan), **PLAN)

    assert np.isnan(run.node_at[0, 1:]).all()
