"""All departures at once through the water and the stream: when she is where, and how fast over the ground."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from readiness.calc.tidal_stream import Stream, along_and_across
from readiness.calc.track import Track
from vessel.units import KNOT, Array, Counts, Epoch, Flags, MetresPerSecond, Ratio, Seconds

NO_WAY_MPS = 0.5 * KNOT  # slower over the ground than this gives no time [own]


@dataclass(frozen=True)
class Run:
    """One set of figures (plan, early or late) for every departure.

    A speed below 0.5 kn gives no time: `sog_mps` keeps the speed (0 where she cannot hold the track) and every
    time from the end of that step on is NaN. A speed is NaN only where it is not known.
    """

    node_at: Array  # Epoch[departure, node]
    sog_mps: Array  # [departure, step], the slowest in the step, should the stream change inside it
    stream_east_mps: Array  # [departure, step], as predicted, on entering the step
    stream_north_mps: Array  # [departure, step]

    @property
    def stopped(self) -> Flags:
        """Departures that come to a step in which she makes no way, `[departure]`."""
        return np.asarray((self.sog_mps < NO_WAY_MPS).any(axis=-1))

    @property
    def arrives_at(self) -> Array:
        """Time at the end of the track, `[departure]`."""
        return np.asarray(self.node_at[..., -1])


@dataclass(frozen=True)
class _Water:
    """A stream with one piece before it and one after it in which nothing is known; `[piece]`."""

    until: Array  # Epoch, the last one infinite
    east_mps: Array
    north_mps: Array

    def piece_at(self, at: Array) -> NDArray[np.int64]:
        """The piece that holds each time; the last one for a time that is not known."""
        return np.searchsorted(self.until[:-1], at, side="right")


Rows = NDArray[np.int64] | slice
ShareKept = Callable[[int, Array], Array]  # step, times of entering it -> share of her speed she keeps, [departure]


class _Met(Protocol):
    """What she makes over the ground in the pieces of a stream, on one course."""

    def of(self, piece: NDArray[np.int64], rows: Rows) -> tuple[Array, Array]:
        """Speed, 0 where she cannot hold the track, and seconds a metre, NaN where she makes no way, of some departures."""


@dataclass(frozen=True)
class _Alike:
    """The same for every departure; `[piece]`."""

    sog_mps: Array
    pace: Array

    def of(self, piece: NDArray[np.int64], rows: Rows) -> tuple[Array, Array]:  # noqa: ARG002 - alike for all
        return self.sog_mps[piece], self.pace[piece]


@dataclass(frozen=True)
class _Apart:
    """A speed for every departure."""

    along: Array  # [piece], by its factor
    across: Array  # [piece]
    speed_mps: Array  # [departure]

    def of(self, piece: NDArray[np.int64], rows: Rows) -> tuple[Array, Array]:
        return _made(self.along[piece], self.across[piece], self.speed_mps[rows])


STILL = _Water(np.array([np.inf]), np.zeros(1), np.zeros(1))
NOT_KNOWN = _Water(np.array([np.inf]), np.full(1, np.nan), np.full(1, np.nan))


def sweep(
    track: Track,
    departure_at: Epoch,
    speed_mps: MetresPerSecond,
    streams: Sequence[Stream | None],
    stream_of_step: Counts,
    share_kept: ShareKept | None = None,
    /,
    *,
    speed_factor: Ratio,
    fair_factor: Ratio,
    foul_factor: Ratio,
    slip_s: Seconds,
) -> Run:
    """Run every departure along the track, exact to the moment at which a stream changes.

    Speed over the ground = a + sqrt(v^2 - c^2): v the speed through the water (one, or `[step]`) by its factor,
    c the stream across the course as predicted, a the stream along it by the fair or the foul factor.
    `stream_of_step[step]`: index into `streams`, -1 for none; a stream that is None is not known. `departure_at`
    may have any shape; steps and nodes come last. A step of 0 m takes no time. `share_kept` takes off what the sea
    met on entering a step does, for then, departure by departure.

    Source: [bowditch]
    """
    leaves = np.asarray(departure_at, float) + slip_s
    speeds = np.broadcast_to(np.asarray(speed_mps, float) * speed_factor, track.step_m.shape)
    waters = [*(NOT_KNOWN if stream is None else _padded(stream) for stream in streams), STILL]
    node_at = np.empty((leaves.size, track.step_m.size + 1))
    sog, east, north = np.empty((3, leaves.size, track.step_m.size))
    node_at[:, 0] = leaves.ravel()
    met: dict[tuple[int, float, float], _Met] = {}
    for step, length in enumerate(track.step_m):
        which, course, speed = int(stream_of_step[step]), float(track.step_course_deg[step]), float(speeds[step])
        water, at = waters[which], node_at[:, step]
        piece = water.piece_at(at)
        if share_kept is not None:
            pieces: _Met = _Apart(*_stream_on(water, course, fair_factor, foul_factor), speed * share_kept(step, at))
        elif (which, course, speed) in met:
            pieces = met[which, course, speed]
        else:
            pieces = met[which, course, speed] = _meet(water, course, speed, fair_factor, foul_factor)
        node_at[:, step + 1], sog[:, step] = _run_step(water.until, pieces, piece, at, length)
        east[:, step], north[:, step] = water.east_mps[piece], water.north_mps[piece]
    return Run(*(figures.reshape(*leaves.shape, -1) for figures in (node_at, sog, east, north)))


def _padded(stream: Stream) -> _Water:
    edge = [np.nan]
    return _Water(
        np.concatenate([stream.changes_at, [stream.ends_at, np.inf]]),
        np.concatenate([edge, stream.east_mps, edge]),
        np.concatenate([edge, stream.north_mps, edge]),
    )


def _meet(water: _Water, course_deg: float, speed_mps: float, fair: Ratio, foul: Ratio) -> _Met:
    """What she makes of each piece of a stream on a course."""
    return _Alike(*_made(*_stream_on(water, course_deg, fair, foul), speed_mps))


def over_ground(stream: Stream, course_deg: float, speed_mps: float, fair: Ratio, foul: Ratio) -> tuple[Array, Array]:
    """What she makes over the ground on a course in each piece of a stream, 0 where no heading holds the course, and
    the stream across it, [piece].

    Source: [bowditch]
    """
    along, across = _stream_on(stream, course_deg, fair, foul)
    return _made(along, across, speed_mps)[0], across


def _stream_on(water: Stream | _Water, course_deg: float, fair: Ratio, foul: Ratio) -> tuple[Array, Array]:
    """Each piece of a stream along a course, by its factor, and across it."""
    along, across = along_and_across(water.east_mps, water.north_mps, course_deg)
    return along * np.where(along > 0, fair, foul), across


def _made(along: Array, across: Array, speed_mps: MetresPerSecond) -> tuple[Array, Array]:
    ahead = np.square(speed_mps) - np.square(across)
    made = along + np.sqrt(np.maximum(ahead, 0.0))
    made = np.where(ahead < 0, 0.0, made)
    with np.errstate(divide="ignore"):
        return made, np.where(made >= NO_WAY_MPS, 1 / made, np.nan)


def _run_step(until: Array, met: _Met, piece: NDArray[np.int64], at: Array, length: float) -> tuple[Array, Array]:
    """Time at the end of one step and the slowest speed in it, for `[departure]` entering it in `piece` at `at`."""
    slowest, pace = met.of(piece, slice(None))
    if length == 0:
        return at, slowest
    left = at + length * pace
    turned = np.flatnonzero(left > until[piece])
    rest, piece, at, pace = np.full(turned.size, length), piece[turned], at[turned], pace[turned]
    while turned.size:
        rest -= (until[piece] - at) / pace
        at, piece = until[piece], piece + 1
        sog, pace = met.of(piece, turned)
        left[turned] = at + rest * pace
        slowest[turned] = np.minimum(slowest[turned], sog)
        again = left[turned] > until[piece]
        turned, rest, piece, at, pace = turned[again], rest[again], piece[again], at[again], pace[again]
    return left, slowest
