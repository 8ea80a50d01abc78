"""GRIB decoded in its own process: right values at right places, damage that kills only that process."""

import itertools
import json
import sys
from datetime import UTC, datetime
from typing import Any

import gribberish
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from readiness.feeds.grib import DECODE, GribField, read_grib, whole
from readiness.feeds.grib_sections import RawField, split
from tests.readiness.feeds.samples import OUTSIDE, grib, joined, message, tried
from vessel.errors import BadInput
from vessel.units import HOUR

SCANS = list(itertools.product((0, 1), repeat=4))
LON = (-5.0, -3.5, 0.5)


def plane(lat: float, lon: float) -> float:
    return lat + lon / 10


def expected_plane(field: GribField) -> np.ndarray:
    return field.lat_deg[:, None] + field.lon_deg[None, :] / 10


def test_every_scanning_order_of_edition_2_comes_out_south_to_north_and_west_to_east() -> None:
    file = read_grib(grib(*(message("10u", plane, scan=scan, lon=LON) for scan in SCANS)))

    for field in file.fields:
        np.testing.assert_allclose(field.lat_deg, [50, 50.5, 51])
        np.testing.assert_allclose(field.lon_deg, [-5, -4.5, -4, -3.5])
        np.testing.assert_allclose(field.values, expected_plane(field), atol=1e-5)


def test_every_scanning_order_of_edition_1_does_too() -> None:
    scans = [scan for scan in SCANS if not scan[3]]

    file = read_grib(grib(*(message("10u", plane, scan=scan, lon=LON, edition=1) for scan in scans)))

    for field in file.fields:
        np.testing.assert_allclose(field.lon_deg, [-5, -4.5, -4, -3.5])
        np.testing.assert_allclose(field.values, expected_plane(field), atol=1e-5)


@pytest.mark.parametrize("lon", [(0.0, 357.5, 2.5), (-180.0, 177.5, 2.5), (179.0, 181.0, 0.5), (350.0, 370.0, 1.0)])
def test_longitudes_run_on_without_a_jump_whichever_way_they_are_counted(lon: tuple[float, float, float]) -> None:
    field = read_grib(grib(message("10u", lambda _, lon: lon % 360, lon=lon))).fields[0]

    assert -180 <= field.lon_deg[0] < 180
    np.testing.assert_allclose(np.diff(field.lon_deg), lon[2], atol=1e-5)
    np.testing.assert_allclose(field.values[0], field.lon_deg % 360, atol=1e-3)


def test_a_field_carries_its_whole_label() -> None:
    label = read_grib(grib(message("10u", plane, step_h=6))).fields[0].label

    assert (label.number, label.edition, label.short_name, label.units) == (1, 2, "10u", "m s**-1")
    assert (label.level_type, label.level, label.step_type, label.member) == ("heightAboveGround", 10, "instant", None)
    assert datetime.fromtimestamp(label.data_time, UTC) == datetime(2027, 5, 14, 12, tzinfo=UTC)
    assert datetime.fromtimestamp(label.valid_time, UTC) == datetime(2027, 5, 14, 18, tzinfo=UTC)
    assert label.from_time == label.valid_time


def test_a_maximum_says_since_when() -> None:
    peak = message(
        "gust", plane, before=[["productDefinitionTemplateNumber", 8]],
        more=[["typeOfStatisticalProcessing", 2], ["stepRange", "3-6"]],
    )  # fmt: skip

    label = read_grib(grib(peak)).fields[0].label

    assert label.step_type == "max"
    assert (label.valid_time - label.data_time, label.valid_time - label.from_time) == (6 * HOUR, 3 * HOUR)


@pytest.mark.parametrize("edition", [1, 2])
def test_a_missing_value_is_nan_and_never_9999(edition: int) -> None:
    some = message("10u", lambda _, lon: None if lon == -5 else 7.25, edition=edition)
    all_of_it = message("10u", lambda *_: None, edition=edition)

    holed, empty = read_grib(grib(some, all_of_it)).fields

    np.testing.assert_array_equal(holed.values, [[np.nan, 7.25, 7.25]] * 3)
    assert np.isnan(empty.values).all()


def test_both_fields_of_one_message_come_out() -> None:
    both = joined(grib(message("10u", plane)), grib(message("10v", lambda lat, lon: -plane(lat, lon))))

    file = read_grib(both)

    assert [field.label.short_name for field in file.fields] == ["10u", "10v"]
    np.testing.assert_allclose(file.fields[1].values, -file.fields[0].values, atol=1e-5)


def test_a_second_decoder_that_shares_nothing_with_the_first_agrees() -> None:
    data = joined(grib(message("10u", plane, lon=LON)), grib(message("10v", lambda lat, lon: lat * lon, lon=LON)))
    data += grib(message("prmsl", lambda lat, _: 101_300 + lat, lon=LON), message("2t", plane, edition=1, lon=LON))

    file = read_grib(data)

    assert len(file.fields) == 4
    for raw, field in zip(split(data), file.fields, strict=True):
        other = np.asarray(gribberish.parse_grib_message(raw.message, 0).data()).reshape(field.values.shape)
        np.testing.assert_allclose(field.values, other[::-1], rtol=1e-6)


def test_fields_that_went_missing_on_the_way_are_a_refusal() -> None:
    raw = split(grib(message("10u", plane), message("10v", plane)))
    answer = DECODE(raw[0].message)

    for said in (answer, replace(answer, fields=(), values=()), replace(answer, values=answer.values * 2)):
        with pytest.raises(BadInput, match=r"^This GRIB file holds 2 fields and [01] could be read\. Nothing"):
            whole(said, raw)


def test_a_field_shorter_than_its_header_says_is_a_refusal() -> None:
    raw = split(grib(message("10u", plane)))
    answer = DECODE(raw[0].message)

    with pytest.raises(BadInput, match="holds 1 fields and 1 could be read"):
        whole(replace(answer, values=(answer.values[0][:2],)), raw)


def test_eccodes_never_enters_our_own_process() -> None:
    read_grib(grib(message("10u", plane)))

    assert not {"eccodes", "gribapi", "readiness.feeds.grib_child"} & sys.modules.keys()


INCONSISTENT = {
    "latitudes against the scanning order": [["jScansPositively", 1]],
    "spacing": [["iDirectionIncrementInDegrees", 0.7]],
    "no such month": [["month", 13]],
    "latitude 95": [["latitudeOfFirstGridPointInDegrees", 95.0]],
}


@pytest.mark.parametrize("case", INCONSISTENT)
def test_headers_that_contradict_each_other_are_refused(case: str) -> None:
    data = grib(message("10u", plane, more=INCONSISTENT[case]))

    with pytest.raises(BadInput, match=r"^Field 1 of this GRIB file cannot be read: .*\. Nothing was taken in\.$"):
        read_grib(data)


SOUND = grib(message("10u", plane, edition=1), message("10v", lambda lat, lon: None if lat == 50 else lon))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(st.integers(0, len(SOUND) - 1), st.integers(0, 255)), min_size=1, max_size=3))
def test_a_damaged_file_gives_every_field_or_a_refusal(changes: list[tuple[int, int]]) -> None:
    data = bytearray(SOUND)
    for place, value in changes:
        data[place] = value

    file, sentence = tried(read_grib, bytes(data))

    if file is None:
        assert sentence.endswith("Nothing was taken in.")
        assert "\n" not in sentence
    else:
        counted: tuple[RawField, ...] = split(bytes(data))
        assert [field.values.size for field in file.fields] == [raw.points for raw in counted]


EXPECTED = OUTSIDE / "grib" / "expected_decoded_by_eccodes.json"
REAL: dict[str, Any] = json.loads(EXPECTED.read_text()) if EXPECTED.is_file() else {}


@pytest.mark.parametrize("name", REAL)
def test_a_real_file_decodes_as_printed(name: str) -> None:
    fields = read_grib((OUTSIDE / "grib" / name).read_bytes()).fields

    assert len(fields) == REAL[name]["fields_total_with_multi_field_messages_expanded"]
    for field, wanted in zip(fields, REAL[name]["messages"], strict=True):
        started = datetime.fromtimestamp(field.label.data_time, UTC)
        level = f"{field.label.level_type} {field.label.level:g}"
        said = (field.label.short_name, field.label.units, level, field.grid.grid_type, f"{field.step_h:g}")
        assert said == tuple(wanted[key] for key in ("shortName", "units", "level", "gridType", "step"))
        assert (int(f"{started:%Y%m%d}"), int(f"{started:%H%M}")) == (wanted["dataDate"], wanted["dataTime"])
        assert (field.label.edition, field.values.size) == (wanted["edition"], wanted["n"])
        assert np.isnan(field.values).sum() == wanted["missing"]
        figures = (np.nanmin(field.values), np.nanmax(field.values), np.nanmean(field.values))
        assert figures == pytest.approx([wanted[key] for key in ("min", "max", "mean")], rel=1e-6, abs=2e-5)
        for lat, lon, value in wanted["points_lat_lon_value"]:
            expected = np.nan if value is None else value
            assert _value_at(field, lat, lon) == pytest.approx(expected, 1e-6, 1e-5, nan_ok=True)


def _value_at(field: GribField, lat: float, lon: float) -> float:
    if field.regular:
        row, column = np.abs(field.lat_deg - lat).argmin(), np.abs((field.lon_deg - lon + 180) % 360 - 180).argmin()
        assert abs(field.lat_deg[row] - lat) < 1e-4
        return float(field.values[row, column])
    return float(field.values[np.hypot(field.lat_deg - lat, field.lon_deg - lon).argmin()])


PLAIN = [name for name in REAL if not name.startswith("reduced")]


@pytest.mark.parametrize("name", PLAIN)
def test_a_second_decoder_agrees_on_a_real_file(name: str) -> None:
    data = (OUTSIDE / "grib" / name).read_bytes()

    for raw, field in zip(split(data), read_grib(data).fields, strict=True):
        other = np.asarray(gribberish.parse_grib_message(raw.message, 0).data()).reshape(field.values.shape)[::-1]
        np.testing.assert_allclose(field.values, other, rtol=1e-5, atol=1e-4)
