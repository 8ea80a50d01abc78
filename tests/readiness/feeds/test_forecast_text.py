"""A bulletin typed from the radio: the worse end of every band, at every moment the worst that may be true then."""

import math
from datetime import UTC, datetime

import numpy as np
import pytest

from readiness.feeds.forecast import ForecastFile, pack, sample, unpack
from readiness.feeds.forecast_text import is_bulletin, read_bulletin
from vessel.errors import BadInput
from vessel.units import HOUR, KNOT

ISSUED = datetime(2027, 5, 14, 18, tzinfo=UTC).timestamp()
HEAD = "issued 2027-05-14T18:00Z\nsource coast radio\narea Outer Sound, 49.5 N 6 W to 51 N 3.5 W\n"
DAY = HEAD + "from 2027-05-14T18:00Z to 2027-05-15T18:00Z\n"


def read(text: str) -> ForecastFile:
    return read_bulletin(text.encode())


def at(forecast: ForecastFile, name: str, hours: float) -> float:
    """The value so many hours after the issue, straight lines between rows as everywhere else."""
    values = forecast.variables[name].reshape(len(forecast.at), -1)
    assert all(np.array_equal(values[:, 0], column, equal_nan=True) for column in values.T)
    return float(np.interp(ISSUED + hours * HOUR, forecast.at, values[:, 0], left=math.nan, right=math.nan))


def wind_kn(forecast: ForecastFile, hours: float) -> float:
    return math.hypot(at(forecast, "wind_east_mps", hours), at(forecast, "wind_north_mps", hours)) / KNOT


def test_a_bulletin_becomes_a_forecast_for_its_area_constant_all_over_it() -> None:
    forecast = read(DAY + "wind southwest 4 or 5\ngusts 30 kn\nsea slight or moderate\nvisibility moderate or good\n")

    assert (forecast.kind, forecast.layout, forecast.source) == ("text", "grid", "coast radio")
    assert forecast.issued_at == ISSUED
    assert (list(forecast.lat_deg), list(forecast.lon_deg)) == ([49.5, 51.0], [-6.0, -3.5])
    assert (forecast.at[0], forecast.at[-1]) == (ISSUED, ISSUED + 24 * HOUR)
    assert wind_kn(forecast, 5) == pytest.approx(21)
    assert at(forecast, "wind_east_mps", 5) == pytest.approx(21 * KNOT * math.sqrt(0.5))
    assert at(forecast, "gust_mps", 5) == pytest.approx(30 * KNOT)
    assert (at(forecast, "wave_height_m", 5), at(forecast, "visibility_m", 5)) == (2.5, 3704.0)
    inside, outside = sample(forecast, np.array([50.3, 52.0]), np.array([-4.0, -4.0]))["visibility_m"].T
    assert (inside == 3704.0).all()
    assert np.isnan(outside).all()


def test_it_is_kept_and_comes_back() -> None:
    forecast = read(DAY + "wind southwest 4 or 5\n")

    back = unpack(pack(forecast))

    np.testing.assert_array_equal(back.variables["wind_east_mps"], forecast.variables["wind_east_mps"])
    assert (back.kind, back.warnings) == ("text", forecast.warnings)


CHANGES: dict[str, dict[float, int]] = {
    "increasing 7 imminent": {1: 33, 5.9: 33, 6.1: 33, 20: 33},
    "increasing 7 soon": {1: 16, 5.9: 16, 6.1: 33, 11.9: 33, 20: 33},
    "increasing 7 later": {1: 16, 11.9: 16, 12.1: 33, 24: 33},
    "increasing 7": {0: 33, 12: 33, 24: 33},
    "decreasing 2 imminent": {1: 16, 5.9: 16, 6.1: 6, 20: 6},
    "decreasing 2 soon": {1: 16, 11.9: 16, 12.1: 6},
    "decreasing 2 later": {1: 16, 12.1: 16, 24: 16},
    "decreasing 2": {0: 16, 24: 16},
    "occasionally 6": {0: 27, 24: 27},
    "occasionally 6 later": {1: 16, 11.9: 16, 12.1: 27, 24: 27},
    "increasing 7 soon, decreasing 3 later": {1: 16, 6.1: 33, 12.1: 33, 24: 33},
    "increasing 7 imminent, decreasing 3 soon": {1: 33, 6.1: 33, 11.9: 33, 12.1: 10},
    "occasionally 6 soon, decreasing 2 later": {1: 16, 6.1: 27, 24: 27},
}


@pytest.mark.parametrize("change", CHANGES)
def test_until_a_change_must_have_come_the_worse_of_both_holds(change: str) -> None:
    forecast = read(f"{DAY}wind west 4, {change}\n")

    assert {hours: round(wind_kn(forecast, hours)) for hours in CHANGES[change]} == CHANGES[change]


def test_the_direction_is_that_of_the_strongest_wind_that_may_blow() -> None:
    forecast = read(DAY + "wind south 6, veering west 4 soon\n")

    assert at(forecast, "wind_north_mps", 7) == pytest.approx(27 * KNOT)
    assert at(forecast, "wind_east_mps", 13) == pytest.approx(16 * KNOT)


def test_between_two_periods_the_worse_holds_and_no_slope_hides_the_wind() -> None:
    forecast = read(
        DAY + "wind south 6\nsea rough\nvisibility good\nnext 12 h\nwind north 5\nsea slight\nvisibility fog\n"
    )

    moments = (23.9, 24.0, 24.1)
    assert [round(wind_kn(forecast, hours)) for hours in moments] == [27, 27, 21]
    assert [at(forecast, "wave_height_m", hours) for hours in moments] == [4.0, 4.0, 1.25]
    assert [at(forecast, "visibility_m", hours) for hours in moments] == [9260.0, 0.0, 0.0]
    slack = np.diff(forecast.at)[np.abs(np.diff(forecast.variables["wind_north_mps"][:, 0, 0])) > 0.01]
    assert slack.max() <= 1.0


def test_periods_that_do_not_meet_leave_a_hole_in_which_nothing_is_known() -> None:
    forecast = read(DAY + "wind west 4\nfrom 2027-05-15T20:00Z to 2027-05-16T00:00Z\nwind west 3\n")

    assert [round(wind_kn(forecast, hours)) for hours in (24, 26)] == [16, 10]
    assert math.isnan(wind_kn(forecast, 25))
    assert "The periods do not meet: nothing is known in between." in forecast.warnings


def test_in_a_period_far_from_the_issue_a_change_may_come_at_any_time() -> None:
    near = read(HEAD + "from 2027-05-14T23:59Z to 2027-05-15T18:00Z\nwind west 4 increasing 7 later\n")
    far = read(HEAD + "from 2027-05-15T00:00Z to 2027-05-15T18:00Z\nwind west 4 increasing 7 later\n")

    assert (round(wind_kn(near, 8)), round(wind_kn(far, 8))) == (16, 33)


def test_without_a_time_of_issue_it_has_no_age_and_a_change_may_come_at_any_time() -> None:
    forecast = read(DAY.removeprefix("issued 2027-05-14T18:00Z\n") + "wind west 4, increasing 7 later\n")

    assert math.isnan(forecast.issued_at)
    assert round(wind_kn(forecast, 1)) == 33
    assert any("it has no age and is not fresh" in warning for warning in forecast.warnings)


def test_a_wind_without_one_direction_is_not_known_and_it_is_said() -> None:
    forecast = read(DAY + "wind variable 3\nsea smooth\n")

    assert "wind_east_mps" not in forecast.variables
    assert forecast.warnings == ("Line 5: a wind without one direction counts as not known while it may blow.",)


def test_calm_needs_no_direction() -> None:
    assert wind_kn(read(DAY + "wind calm\n"), 3) == 0


def test_sea_and_swell_add_up_and_the_swell_alone_tells_no_height() -> None:
    both, alone = read(DAY + "sea 3 m\nswell west 4 m\n"), read(DAY + "swell west 4 m\nvisibility good\n")

    assert at(both, "wave_height_m", 1) == pytest.approx(5.0)
    assert "wave_height_m" not in alone.variables
    assert "Line 4: only the swell is told, not the sea" in alone.warnings[0]


def test_the_shortest_period_counts_and_one_that_is_not_told_leaves_it_open() -> None:
    told, half = read(DAY + "sea 1 m 4 s\nswell 2 m 9 s\n"), read(DAY + "sea 1 m\nswell 2 m 9 s\n")

    assert at(told, "wave_period_s", 1) == 4.0
    assert "wave_period_s" not in half.variables


@pytest.mark.parametrize(("sea", "swell", "known"), [("south", "southwest", True), ("south", "west", False)])
def test_waves_from_two_sides_have_no_one_direction(sea: str, swell: str, known: bool) -> None:
    forecast = read(DAY + f"sea 1 m from {sea}\nswell 2 m from {swell}\n")

    assert ("wave_from_east" in forecast.variables) is known
    if known:
        assert at(forecast, "wave_from_east", 1) == pytest.approx(-math.sqrt(0.5))


def test_fog_in_the_weather_counts_as_visibility_and_thunder_is_said() -> None:
    forecast = read(DAY + "weather thundery showers and fog patches\nvisibility good\n")

    assert at(forecast, "visibility_m", 1) == 0.0
    assert forecast.warnings == ("Line 5: thunder is forecast.",)


@pytest.mark.parametrize(
    ("area", "lat", "lon"),
    [
        ("50.1 N 4.2 W", [50.1], [-4.2]),
        ("off the point, 50.1N, 4.2W", [50.1], [-4.2]),
        ("1 N 1 W to 1 S 1 E", [-1, 1], [-1, 1]),
        ("10 S 179 E to 12 S 178 W", [-12, -10], [179, 182]),
    ],
)
def test_an_area_is_a_place_or_two_corners_across_the_date_line_too(
    area: str, lat: list[float], lon: list[float]
) -> None:
    forecast = read(f"area {area}\nfrom 2027-05-14T18:00Z to 2027-05-15T18:00Z\nvisibility good\n")

    assert (list(forecast.lat_deg), list(forecast.lon_deg)) == (lat, lon)
    assert forecast.layout == ("places" if len(lat) == 1 else "grid")


REFUSED = {
    "a word that begins no line": (
        DAY + "wnd west 4\n",
        "Line 5: 'wnd' is no beginning of a line; it is one of issued,",
    ),
    "a word within a line": (DAY + "wind west stiff 4\n", "Line 5: 'stiff' is not a word known here for the wind."),
    "a word about the weather": (DAY + "weather frogs\n", "Line 5: 'frogs' is not a word known here for the weather."),
    "no period": (HEAD + "wind west 4\n", "Line 4: for which time?"),
    "no area": (
        "from 2027-05-14T18:00Z to 2027-05-15T18:00Z\nwind west 4",
        "Line 2: the bulletin does not say for which",
    ),
    "nothing in it": (DAY, "Line 5: the bulletin says nothing about wind, sea or visibility."),
    "a second area": (DAY + "area 50 N 4 W\n", "Line 5: this is a second area; take in one area at a time."),
    "an area off the globe": ("area 91 N 4 W\n", "Line 1: there is no place 91 N 4 W."),
    "an area in words": ("area the bay\n", "Line 1: 'the bay' holds no place such as 50.1 N 4.2 W"),
    "an area without extent": ("area 50 N 4 W to 50 N 3 W\n", "Line 1: the two corners are on one line"),
    "said twice": (
        DAY + "wind west 4\nwinds west 5\n",
        "Line 6: the wind was said already in the period that begins on line 4.",
    ),
    "issued twice": (DAY + "issued 2027-05-14T18:00Z\n", "Line 5: the time of issue was given already."),
    "which day": (
        "issued 03/04/2027 18:00\n",
        "Line 1, column issued: Is '03/04/2027 18:00' day first or month first?",
    ),
    "a wind from nowhere": (DAY + "wind 5\n", "Line 5: from where is the wind? Write a direction, or variable."),
    "time backwards": (
        HEAD + "from 2027-05-15T18:00Z to 2027-05-14T18:00Z\n",
        "Line 4: the period is shorter than ten",
    ),
    "a period of a minute": (HEAD + "from 2027-05-14T18:00Z to 2027-05-14T18:01Z\n", "Line 4: the period is shorter"),
    "overlapping periods": (
        DAY + "wind west 4\nfrom 2027-05-15T17:00Z to 2027-05-16T18:00Z\n",
        "Line 6: the period begins before the one of line 4 ends.",
    ),
    "next after nothing": ("next 24 h\n", "Line 1: next after what? Give the time of issue first."),
    "next of no length": (DAY + "next day\n", "Line 5: write for how long, such as: next 24 h."),
    "too many periods": (DAY + "next 1 h\n" * 41, "Line 44: there are more than 40 periods."),
    "nothing behind it": ("source\n", "Line 1: nothing stands behind 'source'."),
    "a zero byte": (DAY + "wind \0\n", "Line 5: The file holds a zero byte"),
    "too long": (DAY + "# note\n" * 5000, "Line 1: a bulletin of more than 20,000 bytes is none that anybody typed."),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_not_understood_is_asked_about_by_line_and_word(case: str) -> None:
    text, sentence = REFUSED[case]

    with pytest.raises(BadInput) as refusal:
        read(text)

    assert sentence in str(refusal.value)
    assert str(refusal.value).endswith(" Nothing was taken in.")
    assert "\n" not in str(refusal.value)


def test_another_encoding_is_refused_by_its_name() -> None:
    with pytest.raises(BadInput, match="The file is UTF-16; save it as UTF-8"):
        read_bulletin(DAY.encode("utf-16"))


@pytest.mark.parametrize(
    ("data", "is_one"),
    [
        (DAY.encode(), True), (b"# a note\n\n  Wind: west 4", True), (b"\xef\xbb\xbfissued x", True), (b"wind", False),
        (b"time_utc,latitude,longitude,gust_kn\n", False), (b"source,area\n", False), (b"", False), (b"<gpx/>", False),
    ],
)  # fmt: skip
def test_a_bulletin_is_told_by_its_first_line(data: bytes, is_one: bool) -> None:
    assert is_bulletin(data) is is_one
