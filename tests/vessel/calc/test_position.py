import math

import pytest

from vessel.calc.position import Axis, latitude, longitude, parse_angle
from vessel.errors import BadInput


@pytest.mark.parametrize(
    ("typed", "axis", "degrees"),
    [
        ("46 30.5 N", "latitude", 46 + 30.5 / 60),
        ("46°30'30\"N", "latitude", 46.5 + 30 / 3600),
        ("46° 30′ 30″ n", "latitude", 46.5 + 30 / 3600),
        ("46:30:30", "latitude", 46.5 + 30 / 3600),
        ("46.508", "latitude", 46.508),
        ("46,508", "latitude", 46.508),
        ("S 46 30,5", "latitude", -46 - 30.5 / 60),
        ("-14.2", "longitude", -14.2),
        ("−14.2", "longitude", -14.2),
        ("014°12.3'W", "longitude", -14 - 12.3 / 60),
        ("E180", "longitude", 180.0),
        ("90 S", "latitude", -90.0),
        ("0", "latitude", 0.0),
        ("46°30'30''N", "latitude", 46.5 + 30 / 3600),
    ],
)
def test_a_coordinate_is_read_as_people_type_it(typed: str, axis: Axis, degrees: float) -> None:
    assert parse_angle(typed, axis) == pytest.approx(degrees, abs=1e-12)


@pytest.mark.parametrize(
    ("typed", "axis", "said"),
    [
        ("", "latitude", "write it like 46 30.5 N"),
        ("north", "latitude", "is not a latitude"),
        ("46 30 W", "latitude", "ends in N or S"),
        ("14 12 N", "longitude", "ends in E or W"),
        ("-14 W", "longitude", "its side twice"),
        ("N46 30 N", "latitude", "its side twice"),
        ("46 60 N", "latitude", "stay below 60"),
        ("46 30 60 N", "latitude", "stay below 60"),
        ("46.5 30 N", "latitude", "only the last figure"),
        ("90.01", "latitude", "no farther than 90°"),
        ("180 0.1 W", "longitude", "no farther than 180°"),
        ("46 30 30 30", "latitude", "is not a latitude"),
        ("4" * 41, "latitude", "is not a latitude"),
    ],
)
def test_what_is_no_coordinate_is_refused_with_why(typed: str, axis: Axis, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        parse_angle(typed, axis)


@pytest.mark.parametrize(
    ("degrees", "written"),
    [
        (46 + 30.5 / 60, "46°30.50′ N"),
        (-0.5, "00°30.00′ S"),
        (45.999999, "46°00.00′ N"),
        (-0.00000001, "00°00.00′ N"),
        (math.nan, "not known"),
        (None, "not known"),
    ],
)
def test_a_latitude_is_written_in_degrees_and_minutes(degrees: float | None, written: str) -> None:
    assert latitude(degrees) == written


@pytest.mark.parametrize(
    ("degrees", "written"), [(-14 - 12.3 / 60, "014°12.30′ W"), (180.0, "180°00.00′ E"), (0.0, "000°00.00′ E")]
)
def test_a_longitude_is_written_with_three_figures(degrees: float, written: str) -> None:
    assert longitude(degrees) == written


@pytest.mark.parametrize("degrees", [-89.99, -12.345, 0.0, 7.5, 46.508])
def test_what_is_written_is_read_back_within_a_hundredth_of_a_minute(degrees: float) -> None:
    assert parse_angle(latitude(degrees), "latitude") == pytest.approx(degrees, abs=0.005 / 60 + 1e-9)
