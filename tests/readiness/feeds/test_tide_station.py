import json
import math

import pytest

from readiness.feeds.tide_station import read_station, station_notes
from vessel.errors import BadInput


def test_a_station_file_is_read_in_our_words() -> None:
    notes = station_notes(
        read_station(b'{"name": "Ostrel Haven", "timezone": "UTC+1", "datum": "chart datum", "mean_level_m": 2.6}')
    )

    assert (notes.name, notes.datum, notes.mean_level_m) == ("Ostrel Haven", "chart datum", 2.6)
    assert notes.zone is not None


@pytest.mark.parametrize(
    ("key", "datum"), [("msl_above_mllw_m", "MLLW"), ("mean_level_above_NAP_m", "NAP"), ("msl_above_LAT_m", "LAT")]
)
def test_the_level_may_stand_under_the_name_of_its_datum(key: str, datum: str) -> None:
    notes = station_notes({key: 0.776})

    assert (notes.datum, notes.mean_level_m) == (datum, 0.776)


def test_no_station_file_says_nothing() -> None:
    notes = station_notes(None)

    assert (notes.name, notes.datum, notes.zone) == (None, None, None)
    assert math.isnan(notes.mean_level_m)


@pytest.mark.parametrize(
    ("station", "sentence"),
    [
        ({"msl_above_mllw_m": 1, "mean_level_m": 2}, "gives two levels"),
        ({"msl_above_mllw_m": 1, "datum": "LAT"}, "'LAT' as datum, and its level above 'MLLW'"),
        ({"mean_level_m": "2.6"}, "mean_level_m is '2.6', not a number"),
        ({"mean_level_m": True}, "not a number"),
        ({"mean_level_m": 100.1}, "lies beyond 100"),
        ({"mean_level_m": math.nan}, "lies beyond 100"),
        ({"mean_level_m": 10**400}, "lies beyond 100"),
        ({"timezone": 5}, "timezone must be text"),
        ({"timezone": "Nowhere"}, "There is no time zone called 'Nowhere'"),
        ({"unit": "fathom"}, "unit is 'fathom'; it must be one of m, cm, mm, ft"),
        ({"date_order": "year first"}, "must be one of day first, month first"),
    ],
)
def test_a_station_file_that_contradicts_itself_is_refused(station: dict[str, object], sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        station_notes(station)


@pytest.mark.parametrize(
    "content",
    [b"", b"[1]", b"{", b"{'a': 1}", b"[" * 90_000, b'{"a": ' + b"1" * 90_000 + b"}", b" " * 100_001, b'{"a": "\xff"}'],
    ids=["empty", "a list", "cut", "no JSON", "deep", "long number", "large", "not UTF-8"],
)
def test_what_is_no_station_file_is_refused(content: bytes) -> None:
    with pytest.raises(BadInput):
        read_station(content)


def test_a_level_of_exactly_the_farthest_is_taken() -> None:
    assert station_notes(json.loads('{"mean_level_m": 100}')).mean_level_m == 100.0
