"""Streams together, as vectors; and when a stream turns."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.calc.streams_together import combined, slack_at
from readiness.calc.tidal_stream import Stream


def pieces(*vectors: tuple[float, float], start: float = 0.0, every_s: float = 100.0) -> Stream:
    """Pieces of one length, each with its east and north."""
    east, north = (np.array(column) for column in zip(*vectors, strict=True))
    changes_at = start + every_s * np.arange(float(len(vectors)))
    return Stream(changes_at, east, north, start + every_s * len(vectors))


def test_two_streams_at_right_angles_make_one_between_them() -> None:
    both = combined([pieces((2.0, 0.0)), pieces((0.0, 2.0))], np.array([0.5, 0.5]))

    assert np.array(both.at(50.0)) == pytest.approx([1.0, 1.0])
    assert np.hypot(*both.at(50.0)) == pytest.approx(np.sqrt(2.0))  # weaker than either: vectors, not rates


def test_opposite_streams_of_equal_share_stand_still() -> None:
    both = combined([pieces((2.0, 0.0)), pieces((-2.0, 0.0))], np.array([0.5, 0.5]))

    assert np.array(both.at(50.0)) == pytest.approx([0.0, 0.0])


def test_a_combined_stream_changes_whenever_one_of_them_does_and_is_known_while_all_are() -> None:
    both = combined(
        [pieces((1.0, 0.0), (2.0, 0.0)), pieces((0.0, 4.0), (0.0, 8.0), start=50.0)], np.array([0.75, 0.25])
    )

    assert both.changes_at == pytest.approx([50.0, 100.0, 150.0])
    assert both.ends_at == 200.0
    assert both.east_mps == pytest.approx([0.75, 1.5, 1.5])
    assert both.north_mps == pytest.approx([1.0, 1.0, 2.0])
    assert np.isnan(both.at(np.array([49.9, 200.0]))).all()


def test_streams_that_are_never_known_together_are_never_known() -> None:
    apart = combined([pieces((1.0, 0.0)), pieces((1.0, 0.0), start=500.0)], np.array([0.5, 0.5]))

    assert np.isnan(apart.at(np.array([50.0, 300.0, 550.0]))).all()


@given(
    st.lists(st.tuples(st.floats(-3, 3), st.floats(-3, 3)), min_size=1, max_size=5),
    st.lists(st.tuples(st.floats(-3, 3), st.floats(-3, 3)), min_size=1, max_size=5),
    st.floats(0, 60),
    st.floats(0, 1),
    st.floats(-50, 600),
)
def test_at_every_moment_it_is_the_shares_of_the_streams_of_that_moment(
    one: list[tuple[float, float]], other: list[tuple[float, float]], later: float, share: float, at: float
) -> None:
    streams = [pieces(*one), pieces(*other, start=later, every_s=70.0)]

    found = np.array(combined(streams, np.array([1 - share, share])).at(at))

    first, second = (np.array(stream.at(at)) for stream in streams)
    assert found == pytest.approx((1 - share) * first + share * second, nan_ok=True)


@pytest.mark.parametrize(
    ("vectors", "expected"),
    [
        (((2.0, 0.0), (-2.0, 0.0)), [100.0]),
        (((2.0, 0.0), (1.0, 1.0), (0.0, 1.0)), []),  # it turns by less than a right angle each time
        (((2.0, 0.0), (0.0, 2.0)), [100.0]),  # exactly a right angle
        (((2.0, 0.0), (0.0, 0.0), (-2.0, 0.0)), [100.0]),  # told once, when it stops
        (((2.0, 0.0), (np.nan, np.nan), (-2.0, 0.0)), []),
        (((2.0, 0.0),), []),
    ],
)
def test_slack_is_when_the_stream_turns_back_or_stops(
    vectors: tuple[tuple[float, float], ...], expected: list[float]
) -> None:
    assert np.asarray(slack_at(pieces(*vectors))).tolist() == expected
