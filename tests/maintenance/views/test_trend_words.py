import math
from datetime import date
from typing import Any

import pytest

from maintenance.calc.trend import Crossing, Slope
from maintenance.queries.trend import DefectTrend
from maintenance.views.trend_words import crossing_sentence, short_date, state_sentence

NAN, INF = math.nan, math.inf
TODAY = date(2027, 5, 14)
THERE = "At this trend it gets there"
BETWEEN = f"{THERE} between 4,242 h (19 Jun) and 4,294 h (10 Aug)"


def trend(**changes: Any) -> DefectTrend:
    given: dict[str, Any] = {
        "readings": (), "unit": "l/h", "by_hours": True, "points": ((4146.0, 0.030), (4206.0, 0.045)),
        "dates": (date(2027, 3, 28), TODAY), "slope": Slope(0.00027, 0.0002, 0.0005, -1.09, 8),
        "reached": Crossing(4262.0, 4242.7, 4294.2), "limit": 0.060, "rising": True, "now": 4206.0, "today": TODAY,
        "hours_a_day": 1.0, **changes,
    }  # fmt: skip
    return DefectTrend(**given)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, "45 mL per running hour, up from 30 over 60 h. Limit 60."),
        ({"points": ((0.0, 38.0), (40.0, 29.0)), "unit": "l/min", "limit": 25.0, "by_hours": False},
         "29 L a minute, down from 38 over 40 d. Limit 25."),
        ({"points": ((0.0, 0.9), (40.0, 0.9)), "unit": "mm", "limit": NAN}, "0.9 mm, as at first, 0.9 over 40 h."),
        ({"points": ((0.0, 0.0596),), "limit": 0.06}, "59.6 mL per running hour. Limit 60."),
        ({"points": ((0.0, 0.05996),), "limit": 0.06}, "59.96 mL per running hour. Limit 60."),
        ({"points": ()}, "No readings yet, so its course is not known."),
    ],
)  # fmt: skip
def test_the_state_in_one_sentence(changes: dict[str, Any], said: str) -> None:
    assert state_sentence(trend(**changes)) == said


@pytest.mark.parametrize(
    ("changes", "haul_out", "said"),
    [
        ({}, date(2027, 10, 4), f"{BETWEEN}, before the haul-out on 4 Oct."),
        ({}, date(2027, 7, 1), f"{BETWEEN}; the haul-out is on 1 Jul."),
        ({}, date(2027, 6, 1), f"{BETWEEN}, after the haul-out on 1 Jun."),
        ({}, None, f"{BETWEEN}."),
        ({"hours_a_day": NAN}, date(2027, 10, 4), f"{THERE} between 4,242 h (not known) and 4,294 h (not known)."),
        ({"reached": Crossing(4262.0, 4242.7, INF)}, None, f"{THERE} between 4,242 h (19 Jun) and never."),
        ({"reached": Crossing(4262.0, NAN, NAN)}, None, f"{THERE} at about 4,262 h (9 Jul); how surely is not known."),
        ({"reached": Crossing(4262.0, 4262.0, 4262.0)}, None, f"{THERE} at about 4,262 h (9 Jul)."),
        ({"reached": Crossing(INF, INF, INF)}, None, "At this trend it never gets there."),
        ({"reached": Crossing(4206.0, 4206.0, 4206.0)}, None, "It is at its limit now."),
        ({"reached": Crossing(NAN, NAN, NAN)}, None, "When it gets there is not known: too few readings."),
        ({"limit": NAN}, None, ""),
        ({"by_hours": False, "now": 100.0, "reached": Crossing(150.0, 110.0, 365.0)}, None,
         f"{THERE} between 24 May and 3 Feb 2028."),
    ],
)  # fmt: skip
def test_when_the_limit_is_reached(changes: dict[str, Any], haul_out: date | None, said: str) -> None:
    assert crossing_sentence(trend(**changes), haul_out) == said


def test_a_date_of_another_year_names_it() -> None:
    assert short_date(date(2028, 1, 2), TODAY) == "2 Jan 2028"
    assert short_date(None, TODAY) == "not known"
