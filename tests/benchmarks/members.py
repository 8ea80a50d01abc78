"""Fifty-one members for ten days of departures against the weather that one judging takes from the single forecast."""

import os
import subprocess
import sys

import numpy as np

from readiness.rules.chances import chances
from readiness.rules.facts import Facts
from readiness.rules.members_met import members_worst
from readiness.rules.passage import Passage
from readiness.rules.under_way import passage_of
from readiness.rules.weather_met import sampled, weather_met
from tests.benchmarks.row import Row, quickest
from tests.factories.ensemble import with_members
from tests.factories.worked_example import worked_example
from vessel.management.memory import MEMORY_KEPT

MEMBERS, DEPARTURES = 51, 960
FIGURES = "import django; django.setup(); from tests.benchmarks.members import figures; print(*figures())"


def figures() -> tuple[float, float, float]:
    """All members by the single forecast; seconds of all members; milliseconds of one departure's chances."""
    facts = with_members(worked_example(DEPARTURES), MEMBERS)
    passage = passage_of(facts)
    single = quickest(lambda: _single(facts, passage), 8)
    every = quickest(lambda: _every(facts, passage), 3)
    one = quickest(lambda: chances(facts, passage, facts.limits, 0), 5)
    return every / single, every, one * 1000


def run() -> list[Row]:
    """In a child process, which keeps freed memory as the served ones do."""
    surroundings = {**os.environ, "DJANGO_SETTINGS_MODULE": "config.settings", **MEMORY_KEPT}
    command = [sys.executable, "-c", FIGURES]
    done = subprocess.run(command, env=surroundings, capture_output=True, text=True, check=True)  # noqa: S603
    times, seconds, milliseconds = (float(figure) for figure in done.stdout.strip().splitlines()[-1].split())
    name = f"{MEMBERS} members for {DEPARTURES} departures"
    return [
        Row(f"{name}, wind, gust, sea and steepness", times, "x the single forecast's weather", "<= 30", times <= 30),
        Row(f"{name}, of it", seconds, "s", "none", met=True),
        Row(f"chances of one departure by {MEMBERS} members", milliseconds, "ms", "none", met=True),
    ]


def _single(facts: Facts, passage: Passage) -> list[object]:
    """The weather of one judging: until leaving each step late, and until leaving it by plan."""
    forecast = sampled(facts.water.forecast)
    way = (passage.track, passage.streams, passage.stream_of_step, passage.plan)
    return [weather_met(forecast, *way, leaving) for leaving in (passage.late, passage.plan)]


def _every(facts: Facts, passage: Passage) -> object:
    forecast = facts.water.forecast
    if forecast is None:
        raise AssertionError("There is no forecast to measure.")
    return members_worst(forecast, passage, passage.exposed, np.arange(DEPARTURES))
