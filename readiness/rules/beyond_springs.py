"""Where the range of the tide lies beyond those a stream table was made for, in words."""

from collections.abc import Iterator

import numpy as np

from readiness.calc.tide import mean_range, nearest_high_water
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Stream
from readiness.rules.passage import Passage
from readiness.rules.record import Array
from readiness.rules.streams_met import shares_of_steps
from vessel.calc.wording import metres, toward_limit


def beyond_springs(facts: Facts, passage: Passage, index: int) -> Iterator[str]:
    """A sentence for each table that she uses, by plan, on a tide larger than springs or smaller than neaps."""
    entered: dict[str, list[float]] = {}
    for step, shares in enumerate(shares_of_steps(facts, passage.track)):
        for key, _ in shares:
            entered.setdefault(key, []).append(float(passage.plan.node_at[index, step]))
    for table in facts.water.streams:
        tide = passage.tides.get(table.station or "")
        if not table.steady and tide is not None and table.key in entered:
            high = np.asarray(nearest_high_water(tide.events, np.array(entered[table.key])))
            ranges = np.asarray(mean_range(tide.events, np.unique(high[np.isfinite(high)])))
            yield from _told(table, ranges)


def _told(table: Stream, ranges: Array) -> Iterator[str]:
    kept = "rate held" if table.rates_held_beyond else "rate carried on"
    for worst, beyond, limit, words in (
        (ranges.max(initial=-np.inf), np.greater, table.springs_range_m, "beyond springs"),
        (ranges.min(initial=np.inf), np.less, table.neaps_range_m, "below neaps"),
    ):
        if beyond(worst, limit) and np.isfinite(worst):
            yield f"{table.name}: range {toward_limit(float(worst), limit, 1)} m is {words}, {metres(limit, 1)}: {kept}."
