"""Heights and high waters out of a tide file, whichever kind it is, and why it has none where it has none."""

from dataclasses import replace

import numpy as np

from readiness.calc.tide import (
    TideTable,
    cosine_height,
    harmonic_height,
    high_low_of,
    longest_gap_of,
    within,
)
from readiness.calc.tide_constituent import Factors
from readiness.calc.tide_secondary import out_of_turn, secondary
from readiness.feeds.tide_secondary import SecondaryFile
from readiness.feeds.tide_table import HighLowFile, StationFile
from readiness.rules.record import moment
from vessel.units import DAY, Array, Epoch, Metres

TideFile = StationFile | HighLowFile | SecondaryFile
MARGIN_S = 3 * DAY  # a reference is asked for so much more either side: differences may be half a day, a gap a day


def heights(file: TideFile, at: Epoch, factors: Factors = "day") -> Metres:
    """Height at each time above the datum of the file, or above its mean level where no file gives that level.

    NaN where the figures do not hold or nothing is known.
    """
    times: Array = np.asarray(at, float)
    if isinstance(file, StationFile):
        height = harmonic_height(_with_a_level(file).harmonics, times, factors)
    elif isinstance(file, HighLowFile):
        height = cosine_height(file.table, times, file.longest_gap_s)
    else:
        table = _every_event(file, float(times.min()) - DAY, float(times.max()) + DAY, factors)
        height = cosine_height(table, times, _longest_gap(file))
    first, last = covers(file)
    return np.where((times >= first) & (times <= last), height, np.nan)[()]


def high_and_low(file: TideFile, start: float, end: float, factors: Factors = "day") -> TideTable:
    """High and low waters from `start` to `end` inclusive: searched for, as printed, or with differences laid over."""
    first, last = covers(file)
    return within(_every_event(file, start, end, factors), max(start, first), min(end, last))


def datum_words(file: TideFile) -> str:
    """What the heights are above, in words; a level that no file gives leaves only the mean level itself."""
    if isinstance(file, StationFile) and np.isnan(file.harmonics.mean_level_m):
        return "the mean level (the height of this above a datum is not known)"
    return file.datum or "a datum that is not stated"


def covers(file: TideFile) -> tuple[float, float]:
    """First and last time the file can answer for: while its figures hold, and between the events of a table."""
    first, last = file.valid
    if isinstance(file, HighLowFile) and file.table.at.size:
        first, last = max(first, float(file.table.at[0])), min(last, float(file.table.at[-1]))
    if isinstance(file, SecondaryFile):
        reference = covers(file.reference)
        first, last = max(first, reference[0] - DAY), min(last, reference[1] + DAY)
    return first, last


def why_no_answer(file: TideFile, start: float, end: float) -> str | None:
    """Why not one height of the span can be known, in a sentence; None where some can."""
    name = file.name or "The station"
    first, last = covers(file)
    if end < first or start > last:
        return f"{name} has no figures for this time: they run {span_words(first, last)}."
    if isinstance(file, HighLowFile) and not file.table.at.size:
        return f"{name} has no high or low waters for this time."
    if isinstance(file, StationFile) and not _known(file):
        return f"{name} cannot be worked out: not all of its constants are known."
    if isinstance(file, SecondaryFile):
        if why := why_no_answer(file.reference, start - DAY, end + DAY):
            return f"{name} hangs on another station. {why}"
        if not np.isfinite(_every_event(file, start - DAY, end + DAY, "day").height_m).any():
            return f"{name} cannot be worked out: its differences are not known."
    return None


def doubts(file: TideFile, start: float, end: float) -> list[str]:
    """What to know before using the figures of this span, a sentence each."""
    said = list(file.warnings)
    first, last = covers(file)
    if start < first or end > last:
        said.append(f"The figures run {span_words(first, last)}; outside that the height is not known.")
    if isinstance(file, SecondaryFile):
        wrong = np.asarray(out_of_turn(_every_event(file, start, end, "day")))
        said += list(file.reference.warnings)
        if wrong.size:
            when = f"{moment(float(wrong[0])):%Y-%m-%d %H:%M UTC}"
            said.append(f"High and low no longer follow each other, first at {when}; there the height is not known.")
    return said


def span_words(first: float, last: float) -> str:
    """From when until when, in words."""
    ends = [f"{moment(end):%Y-%m-%d %H:%M UTC}" if np.isfinite(end) else "" for end in (first, last)]
    return " ".join(f"{word} {end}" for word, end in zip(("from", "to"), ends, strict=True) if end) or "at all times"


def _every_event(file: TideFile, start: float, end: float, factors: Factors) -> TideTable:
    """Events from `start` to `end` and maybe more, before the validity of the file itself is looked at."""
    if isinstance(file, StationFile):
        return high_low_of(_with_a_level(file).harmonics, start, end, factors)
    if isinstance(file, HighLowFile):
        return file.table
    reference = high_and_low(file.reference, start - MARGIN_S, end + MARGIN_S, factors)
    return secondary(reference, file.port)


def _longest_gap(file: SecondaryFile) -> float:
    reference = file.reference
    return reference.longest_gap_s if isinstance(reference, HighLowFile) else longest_gap_of(reference.form)


def _known(file: StationFile) -> bool:
    each = file.harmonics
    return bool(each.constituents) and bool(np.isfinite([each.amplitude_m, each.phase_utc_deg]).all())


def _with_a_level(file: StationFile) -> StationFile:
    if np.isnan(file.harmonics.mean_level_m):
        return replace(file, harmonics=replace(file.harmonics, mean_level_m=0.0))
    return file
