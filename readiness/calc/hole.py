"""Holes in a row of times: where something is missing, nothing may be drawn straight across it."""

import numpy as np

from vessel.units import HOUR, Array, Epoch, Flags

WIDEST_GAP_S = 6 * HOUR
LOOK_ROUND = 3  # gaps looked at on either side


def holes(at: Epoch) -> Flags:
    """Which gaps between rising times [time] are holes: [time - 1].

    A gap is a hole when it is wider than six hours, or at least twice the usual gap both before and after it
    (a row that goes over from hourly to three-hourly has no hole). Two lone times are judged by the width only.

    Source: [own]
    """
    gaps = np.diff(np.asarray(at, float))
    usual = np.array([_usual(gaps, place) for place in range(len(gaps))])
    return (gaps > WIDEST_GAP_S) | (gaps >= 2 * usual)


def _usual(gaps: Array, place: int) -> float:
    sides = (gaps[max(place - LOOK_ROUND, 0) : place], gaps[place + 1 : place + 1 + LOOK_ROUND])
    return max((float(np.median(side)) for side in sides if side.size), default=np.inf)


def with_holes(at: Epoch) -> Epoch:
    """The times with one more in the middle of each hole, so that what is not known there can be said.

    Source: [own]
    """
    times = np.asarray(at, float)
    middles = ((times[:-1] + times[1:]) / 2)[holes(times)] if len(times) > 1 else times[:0]
    return np.sort(np.concatenate([times, middles]))
