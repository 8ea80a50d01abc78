"""Until when she can still turn back and be home in time, and how far out she then is."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from readiness.calc.sweep import NO_WAY_MPS, ShareKept, sweep
from readiness.calc.tidal_stream import Stream
from readiness.calc.track import Track
from vessel.units import Counts, Epoch, Metres, MetresPerSecond


def turn_back(
    departure_at: Epoch, close_at: Epoch, sog_out_mps: MetresPerSecond, sog_back_mps: MetresPerSecond
) -> tuple[Epoch, Metres]:
    """Last moment to turn back and be home before the gate shuts, and the distance run out by then.

    NaN when the gate is shut before she leaves or a speed is not above 0. The speeds stay as they are: where the
    stream turns meanwhile, see `turn_back_on_track`.

    Source: [practice]
    """
    out, back = np.asarray(sog_out_mps, float), np.asarray(sog_back_mps, float)
    open_for = np.subtract(close_at, departure_at)
    possible = (out > 0) & (back > 0) & (open_for >= 0)
    with np.errstate(invalid="ignore", divide="ignore"):
        away = np.where(possible, open_for * back / (out + back), np.nan)
    return departure_at + away, out * away


def turn_back_on_track(out_at: Epoch, home_by: Epoch, along_m: Metres) -> tuple[Epoch, Metres]:
    """The same on a track whose speeds change: `[departure, node]` when she is at each node going out, and the last
    moment at which she may leave it for home; `along_m[node]`.

    She turns where the first overtakes the second, by straight lines within a step. Infinite time and the whole
    distance where she can turn back from every node; the departure and 0 m where it is too late from the beginning.
    `home_by` is -inf where there is no way home; NaN in it where that decides gives NaN.

    Source: [practice]
    """
    out, back, along = (np.asarray(one, float) for one in (out_at, home_by, along_m))
    spare = back - out
    late = ~(spare >= 0)
    first, rows = late.argmax(axis=-1), np.arange(len(out))
    before, never = np.maximum(first - 1, 0), ~late.any(axis=-1)
    had, lacked = spare[rows, before], spare[rows, first]
    with np.errstate(invalid="ignore"):
        share = np.where(first > 0, had / np.where(had > lacked, had - lacked, 1.0), 0.0)
    at = out[rows, before] + share * (out[rows, first] - out[rows, before])
    mile = along[before] + share * (along[first] - along[before])
    unknown = np.isnan(lacked)
    return (
        np.where(never, np.inf, np.where(unknown, np.nan, at)),
        np.where(never, along[-1], np.where(unknown, np.nan, mile)),
    )


def home_by(
    track: Track,
    close_at: Epoch,
    speed_mps: MetresPerSecond,
    streams: Sequence[Stream | None],
    stream_of_step: Counts,
    share_kept: ShareKept | None = None,
) -> Epoch:
    """The last moment to leave each node so as to be home as it shuts, `[departure, node]` for `close_at[departure]`.

    The way home is swept backwards in time from the shutting, through the stream as it then runs; `share_kept` of her
    speed is that of the way home. -inf from where she makes no way home; NaN where the stream or the shutting is not
    known.

    Source: [practice]
    """
    share = None if share_kept is None else lambda step, at: share_kept(step, -at)
    backwards = [_backwards(stream) for stream in streams]
    run = sweep(
        homeward(track), -np.asarray(close_at, float), speed_mps, backwards, stream_of_step, share,
        speed_factor=1.0, fair_factor=1.0, foul_factor=1.0, slip_s=0.0,
    )  # fmt: skip
    stopped = np.maximum.accumulate(run.sog_mps < NO_WAY_MPS, axis=-1) & np.isnan(run.node_at[..., 1:])
    back = -run.node_at
    back[..., 1:][stopped] = -np.inf
    return back


def homeward(track: Track) -> Track:
    """The track with the courses of the way home.

    Source: [practice]
    """
    return replace(track, step_course_deg=track.step_course_deg + 180.0)


def _backwards(stream: Stream | None) -> Stream | None:
    """The stream as it runs when time is counted down."""
    if stream is None:
        return None
    ends = np.append(stream.changes_at[1:], stream.ends_at)
    return Stream(-ends[::-1], stream.east_mps[::-1], stream.north_mps[::-1], -float(stream.changes_at[0]))
