"""The one door: every kind of file comes in whole through the limited process, or is refused in one sentence."""

from importlib import import_module

import numpy as np
import pytest

from readiness.feeds.forecast_csv import read_forecast
from readiness.feeds.forecast_text import read_bulletin
from readiness.feeds.gpx import read_route
from readiness.feeds.look import look_into
from readiness.feeds.take import (
    READERS,
    holds_differences,
    look_at,
    take_differences,
    take_forecast,
    take_route,
    take_series,
    take_station,
    take_tide,
)
from readiness.feeds.take_tide import DifferencesGiven
from readiness.feeds.tide_differences import read_differences
from readiness.feeds.tide_series import read_series
from readiness.feeds.tide_table import HighLowFile, StationFile
from tests.readiness.feeds.samples import grib, message
from tests.readiness.feeds.test_look import CALENDAR, CONSTANTS, FORECAST, GPX, HIGH_LOW, WIND
from vessel.errors import BadInput
from vessel.feeds.limited import Reader

BULLETIN = b"area 50 N 4 W\nfrom 2027-05-14T18:00Z to 2027-05-15T18:00Z\nwind west 4\nvisibility good\n"


@pytest.mark.parametrize(
    "reader", [reader for reader in READERS if "grib_child" not in reader.path], ids=lambda r: r.path
)
def test_every_reader_is_there(reader: Reader[object]) -> None:
    module, _, name = reader.path.rpartition(".")

    assert callable(getattr(import_module(module), name))


def test_a_route_comes_through_as_it_was_read() -> None:
    assert take_route(GPX) == read_route(GPX)


@pytest.mark.parametrize(("data", "read"), [(FORECAST, read_forecast), (BULLETIN, read_bulletin)])
def test_a_written_forecast_comes_through_as_it_was_read(data: bytes, read: type) -> None:
    taken, here = take_forecast(data, source="friday"), read(data, source="friday")

    np.testing.assert_equal([taken.at, taken.issued_at, taken.lat_deg], [here.at, here.issued_at, here.lat_deg])
    np.testing.assert_equal(taken.variables, here.variables)
    assert (taken.source, taken.layout, taken.warnings) == (here.source, here.layout, here.warnings)


def test_a_grib_forecast_comes_through_with_its_values_in_si() -> None:
    data = grib(message("10u", lambda *_: 3.0), message("10v", lambda *_: None), message("prmsl", lambda *_: 101_325.0))

    forecast = take_forecast(data, source="model")

    assert (forecast.kind, forecast.source) == ("grib", "model")
    assert np.isnan(forecast.variables["wind_east_mps"]).all()
    np.testing.assert_allclose(forecast.variables["pressure_hpa"], 1013.25, rtol=1e-6)
    assert forecast.variables["pressure_hpa"].dtype == np.float64


def test_tide_files_come_through_with_what_their_station_file_says() -> None:
    station = take_station(b'{"name": "Kettle Bay", "mean_level_m": 2.5, "datum": "LAT"}')

    constants, table = take_tide(CONSTANTS, station), take_tide(HIGH_LOW)

    assert isinstance(constants, StationFile)
    assert (constants.name, constants.harmonics.mean_level_m) == ("Kettle Bay", 2.5)
    assert isinstance(table, HighLowFile)
    np.testing.assert_array_equal(table.table.high, [True, False, True])


SINGLE = b"water,time_min,height_m\nhigh,12,0.3\nlow,-5,\n"
COLUMNS = b"water,clock_utcplus1,time_min,reference_m,height_m\nH,00:00,35,,\nH,06:00,23,,\nH,,,4.2,0.3\nL,,10,,-0.1\n"
AS_KEPT = b'{"form": "ratios", "high_s": 4260, "low_s": 6780, "high_ratio": 0.55, "low_ratio": null}'


@pytest.mark.parametrize("data", [SINGLE, COLUMNS, AS_KEPT])
def test_differences_come_through_as_they_were_read(data: bytes) -> None:
    assert take_differences(data) == read_differences(data)
    assert holds_differences(data)


def test_differences_where_a_tide_was_asked_for_say_what_to_choose() -> None:
    with pytest.raises(DifferencesGiven, match="differences on another port: choose that, and say which port"):
        take_tide(SINGLE)


@pytest.mark.parametrize("data", [CONSTANTS, HIGH_LOW, b"", b"\xff", GPX])
def test_no_other_file_is_taken_for_differences(data: bytes) -> None:
    assert not holds_differences(data)
    with pytest.raises(BadInput):
        take_differences(data)


def test_observed_heights_come_through_to_the_last_digit() -> None:
    lines = b"".join(b"2027-05-15T%02d:00Z,%r\n" % (hour, round(1.1 + hour / 7, 12)) for hour in range(24))
    data = b"time_utc,height_m\n" + lines + b"2027-05-16T00:00Z,\n"

    taken, here = take_series(data, {"datum": "LAT"}), read_series(data, {"datum": "LAT"})

    np.testing.assert_array_equal(taken.at, here.at)
    np.testing.assert_array_equal(taken.height_m, here.height_m)
    assert (taken.datum, taken.zone, taken.notes.datum) == (here.datum, here.zone, "LAT")


@pytest.mark.parametrize("data", [GPX, FORECAST, BULLETIN, CONSTANTS, HIGH_LOW, CALENDAR, WIND])
def test_what_is_told_of_a_file_is_the_same_through_the_door(data: bytes) -> None:
    np.testing.assert_equal(str(look_at(data, "it.x")), str(look_into(data, "it.x")))


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (FORECAST.replace(b"20;", b"much;"), "Line 3, column gust_kn: 'much' is not a number"),
        (BULLETIN.replace(b"west", b"wost"), "Line 3: 'wost' is not a word known here for the wind."),
        (WIND[:-20], "The GRIB message at byte"),
        (GPX.replace(b"179.5", b"x", 1), "Line 1: longitude 'x' is not a number"),
    ],
)
def test_a_refusal_names_line_message_or_field_through_the_door_too(data: bytes, sentence: str) -> None:
    take = take_route if data.startswith(b"<gpx") else lambda data: take_forecast(data, source="")

    with pytest.raises(BadInput) as refusal:
        take(data)

    assert str(refusal.value).startswith(sentence)
