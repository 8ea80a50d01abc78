"""What the sea takes off her speed while she is there: the effective sea of the forecast met by the vessel's own table.

Where the sea is not forecast the worst row of the table counts. Without a table nothing is taken off, and that is said.
"""

from collections.abc import Sequence

import numpy as np

from readiness.calc.sea_speed import SeaTable, share_kept
from readiness.calc.sea_state import wave_on_stream
from readiness.calc.sweep import ShareKept
from readiness.calc.tidal_stream import Stream
from readiness.calc.track import Track, wrapped
from readiness.calc.weather import Sampled, at_time, on_steps, speed_and_from
from readiness.rules.facts import Facts
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.weather_met import SEA, stacked
from vessel.calc.wording import miles
from vessel.units import Counts, Flags

LEAST_TOLD = 0.005  # a smaller share taken off is not told [own]
NO_TABLE = "Her speed in waves is not measured: nothing is taken off for the sea."


def slowed_by_sea(
    facts: Facts,
    track: Track,
    streams: Sequence[Stream | None],
    stream_of_step: Counts,
    forecast: Sampled | None,
) -> ShareKept | None:
    """The share of her speed kept on a step entered at some times; None where she has no table."""
    table = table_of(facts)
    if table is None:
        return None
    seas = None if forecast is None else on_steps(forecast, stacked(forecast, SEA), track.step_along_m)

    def share(step: int, at: Array) -> Array:
        if forecast is None or seas is None:
            return np.asarray(share_kept(table, np.full(at.shape, np.nan), np.nan))
        met = at_time(forecast, seas[..., step], at)
        wave_from = speed_and_from(-met[2], -met[3])[1]
        sea = wave_on_stream(met[0], met[1], wave_from, *_stream_at(streams, int(stream_of_step[step]), at))
        off_bow = np.abs(wrapped(wave_from - track.step_course_deg[step]))
        return np.asarray(share_kept(table, sea.hs_eff_m, off_bow))

    return share


def table_of(facts: Facts) -> SeaTable | None:
    """Her table of speed in waves; None where none is held."""
    rows = facts.boat.vessel.sea_speeds
    if not rows:
        return None
    return SeaTable(
        np.array([row.height_m for row in rows]), np.array([(row.ahead, row.abeam, row.astern) for row in rows])
    )


def shares_met(share: ShareKept | None, entered_at: Array) -> Array:
    """The share kept on every step entered at these times, [departure, step]; 1 where she has no table."""
    if share is None:
        return np.ones(entered_at.shape)
    return np.stack([share(step, entered_at[:, step]) for step in range(entered_at.shape[-1])], axis=-1)


def sea_speed_sentence(facts: Facts, passage: Passage, index: int) -> str:
    """What the sea takes off her speed by plan, in one sentence."""
    if not facts.boat.vessel.sea_speeds:
        return NO_TABLE
    kept = passage.sea_share[index]
    if np.isnan(kept).any():
        return "What the sea takes off her speed is not known: her table of it has a gap."
    unseen_m = float(passage.track.step_m[_unseen(passage, index)].sum())
    worst = f"; for {miles(unseen_m)} no sea is forecast and the worst row counts" if unseen_m else ""
    if float(kept.min()) > 1 - LEAST_TOLD:
        return f"The sea takes nothing off her speed by plan{worst}."
    step = int(kept.argmin())
    where = facts.leg.segments[int(passage.track.segment[step])].name
    return f"The sea takes up to {100 * (1 - float(kept[step])):.0f} % off her speed by plan, from {where}{worst}."


def unseen_sea_sentence(facts: Facts, passage: Passage, index: int) -> str:
    """That her times reckon with a sea nobody knows; "" where it is known all the way, or takes nothing off her speed."""
    unseen = _unseen(passage, index)
    kept = passage.sea_share[index][unseen]
    if not facts.boat.vessel.sea_speeds or not unseen.any() or not kept.min() <= 1 - LEAST_TOLD:
        return ""
    length = miles(float(passage.track.step_m[unseen].sum()))
    return (
        f"For {length} the sea is not known: her slowest share is taken there, {100 * float(kept.min()):.0f} % of her "
        "speed, and she may arrive sooner."
    )


def _unseen(passage: Passage, index: int) -> Flags:
    """Steps whose sea on the stream is not known by plan, [step]."""
    return np.asarray(np.isnan(passage.weather_at_plan.sea_m[index]))


def _stream_at(streams: Sequence[Stream | None], which: int, at: Array) -> tuple[Array, Array]:
    if which < 0:
        return np.zeros(at.shape), np.zeros(at.shape)
    stream = streams[which]
    nothing = np.full(at.shape, np.nan)
    return (nothing, nothing) if stream is None else stream.at(at)
