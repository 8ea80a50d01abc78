import math
from dataclasses import replace
from typing import Any

import pytest
from django.template.loader import render_to_string

from readiness.views.picture.weather_rows import WeatherAt, draw_weather
from tests.readiness.views.picture.strips import utc
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

NOW = utc(2027, 5, 14, 16)
START = utc(2027, 5, 14, 12)
STEPS = 25  # three-hourly over three days


def weather(**changes: Any) -> WeatherAt:
    at = [START + 3 * HOUR * step for step in range(STEPS)]
    wind = [10 * KNOT] * STEPS
    wind[8], wind[0] = 26 * KNOT, 40 * KNOT
    whole = WeatherAt(
        zone="Europe/Lisbon",
        now=NOW,
        at=at,
        wind_mps=wind,
        wind_from_deg=[225.0] * STEPS,
        gust_mps=[15 * KNOT] * STEPS,
        sea_m=[0.8] * STEPS,
        pressure_hpa=[1013.0] * STEPS,
        visibility_m=[4 * NAUTICAL_MILE] * STEPS,
        sun_at=[START, START + 6 * HOUR],
        sun_altitude_deg=[10.0, -20.0],
    )
    return replace(whole, **changes)


def test_the_sentence_names_the_most_wind_ahead_and_how_far_the_forecast_reaches() -> None:
    assert draw_weather(weather()).sentence == (
        "Ahead the most wind is 26 kn from SW, force 6, Sat 15 May 13:00; it reaches to Mon 17 May 13:00."
    )


def test_each_row_tells_its_worst_ahead_of_now_and_what_has_gone_by_does_not_count() -> None:
    rows = {row.name: row.words for row in draw_weather(weather()).rows}

    assert rows["Wind"] == "up to 26 kn from SW, Sat 15 May 13:00"
    assert rows["Sea"].startswith("up to 0.8 m,")
    assert rows["Pressure"].startswith("down to 1,013 hPa,")
    assert rows["Visibility"].startswith("down to 4.0 nmi,")


def test_a_quantity_the_forecast_does_not_hold_is_said_and_not_drawn() -> None:
    gusts = draw_weather(weather(gust_mps=[math.nan] * STEPS)).rows[1]

    assert (gusts.words, gusts.path) == ("not in this forecast", "")


def test_a_gap_breaks_the_line_and_is_said() -> None:
    sea = [0.8] * STEPS
    sea[10] = math.nan

    row = draw_weather(weather(sea_m=sea)).rows[2]

    assert row.path.count("M") == 2
    assert row.words.endswith("some of it not known")


def test_a_row_known_for_the_past_only_is_not_known_ahead() -> None:
    sea = [0.8] + [math.nan] * (STEPS - 1)

    assert draw_weather(weather(sea_m=sea)).rows[2].words == "not known ahead"


def test_hours_the_forecast_does_not_reach_are_hatched_at_both_ends() -> None:
    picture = draw_weather(weather())

    # from midnight to 13:00 local of the first day, and from 13:00 to midnight of the last of four
    assert [(band.x, band.width) for band in picture.beyond] == [("0", "13.54"), ("88.54", "11.46")]


def test_missing_hours_are_hatched_and_no_line_is_drawn_across_them() -> None:
    whole = weather()
    kept = [place for place in range(STEPS) if not 10 <= place <= 14]
    fields = ("at", "wind_mps", "wind_from_deg", "gust_mps", "sea_m", "pressure_hpa", "visibility_m")
    thinned: dict[str, Any] = {name: [getattr(whole, name)[place] for place in kept] for name in fields}

    picture = draw_weather(replace(whole, **thinned))

    assert len(picture.beyond) == 3
    assert picture.rows[2].path.count("M") == 2


def test_a_place_out_of_reach_is_said() -> None:
    nothing = [math.nan] * STEPS

    assert draw_weather(weather(wind_mps=nothing)).sentence == "This forecast does not reach this place."


def test_a_forecast_that_has_ended_says_so_and_everything_ahead_is_hatched() -> None:
    picture = draw_weather(weather(now=NOW + 10 * 24 * HOUR))

    assert picture.sentence == "This forecast ended Mon 17 May 13:00: nothing of it lies ahead."
    assert [(band.x, band.width) for band in picture.beyond] == [("0", "100")]


def test_a_long_forecast_is_drawn_for_ten_days_with_names_that_fit_a_phone() -> None:
    at = [START + 6 * HOUR * step for step in range(61)]
    many: dict[str, Any] = {name: [1.0] * 61 for name in ("wind_mps", "wind_from_deg", "gust_mps", "sea_m", "pressure_hpa",
                                                          "visibility_m")}  # fmt: skip

    picture = draw_weather(weather(at=at, **many))

    assert len(picture.days) == 10
    assert {len(day.name) for day in picture.days} == {3}
    assert all(not mark.minor for mark in picture.rows[0].marks)


def test_calm_has_no_direction_and_is_not_called_unknown() -> None:
    picture = draw_weather(weather(wind_mps=[0.0] * STEPS, wind_from_deg=[math.nan] * STEPS))

    assert "from" not in picture.rows[0].words
    assert picture.lines[0].wind == "0 kn, force 0"


@pytest.mark.parametrize(("miles", "words"), [(9.9, "9.9 nmi"), (10.0, "10.0 nmi"), (10.1, "over 10 nmi")])
def test_far_sight_is_told_as_far(miles: float, words: str) -> None:
    assert draw_weather(weather(visibility_m=[miles * NAUTICAL_MILE] * STEPS)).lines[0].visibility == words


def test_the_table_beside_it_tells_every_time_of_the_forecast() -> None:
    picture = draw_weather(weather())
    text = render_to_string("readiness/picture/weather_rows.svg.html", {"picture": picture})

    assert len(picture.lines) == STEPS
    first = picture.lines[0]
    assert (first.local, first.utc, first.wind) == ("Fri 14 May 13:00", "12:00", "SW 40 kn, force 8")
    assert "Hatched: not reached by this forecast." in text
    assert text.count("<path") == 5
