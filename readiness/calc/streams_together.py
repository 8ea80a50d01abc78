"""Several tidal streams as one, and when a stream turns."""

from collections.abc import Sequence

import numpy as np

from readiness.calc.tidal_stream import Stream
from vessel.units import Epoch, Ratio


def combined(streams: Sequence[Stream], shares: Ratio) -> Stream:
    """Several streams as one: their vectors by `shares[stream]`, in pieces that end whenever one of them changes.

    Known while all of them are.

    Source: [practice]
    """
    start = max(float(stream.changes_at[0]) for stream in streams)
    end = max(min(stream.ends_at for stream in streams), start)
    turns = np.unique(np.concatenate([stream.changes_at for stream in streams]))
    changes_at = np.concatenate([[start], turns[(turns > start) & (turns < end)]])
    parts = np.array([stream.at(changes_at) for stream in streams])
    east, north = np.tensordot(np.asarray(shares, float), parts, axes=1)
    return Stream(changes_at, east, north, end)


def slack_at(stream: Stream) -> Epoch:
    """When the stream turns back on itself, by more than a right angle, or stops.

    Source: [practice]
    """
    east, north = stream.east_mps, stream.north_mps
    turned = east[:-1] * east[1:] + north[:-1] * north[1:]
    running = np.hypot(east[:-1], north[:-1]) > 0
    return np.asarray(stream.changes_at[1:][running & (turned <= 0)])
