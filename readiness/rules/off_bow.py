"""Where the sea comes from as seen from aboard: its angle off the bow, and the words for it."""

import numpy as np

from readiness.calc.named_weather import from_where
from readiness.calc.track import wrapped
from readiness.rules.passage import Passage, Weather
from readiness.rules.record import Array

HAIRS = 6  # decimals: a direction made of two parts, or a product, is a hair off


def off_bow(passage: Passage, weather: Weather) -> Array:
    """Angle between the course and where the waves come from, 0 to 180, [departure, step]."""
    angle = np.abs(wrapped(weather.wave_from_deg - passage.track.step_course_deg))
    return np.asarray(np.round(angle, HAIRS))


def side(passage: Passage, index: int, step: int) -> str:
    """Where the sea of one step comes from, to follow its height: " from astern", " abeam"; "" where not known."""
    word = from_where(float(off_bow(passage, passage.weather)[index, step]))
    return f" {'from ' if word in {'ahead', 'astern'} else ''}{word}" if word else ""
