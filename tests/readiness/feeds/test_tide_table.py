from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.calc.tide import LONGEST_DIURNAL_GAP, LONGEST_GAP
from readiness.feeds.tide_station import read_station
from readiness.feeds.tide_table import HighLowFile, StationFile, read_constants, read_high_low, read_tide
from tests.factories.tide import PUBLISHED, epoch, outside_files
from vessel.errors import BadInput
from vessel.units import FOOT

HEAD = "constituent,amplitude_m,phase_utc_deg\n"
TABLE = "time_utc,height_m,type\n"
ROWS = "2027-05-15 07:36,1.60,L\n2027-05-15 13:54,3.64,H\n"
OSTREL = {"name": "Ostrel Haven", "datum": "chart datum", "mean_level_m": 2.6, "timezone": "UTC"}


def constants(text: str, station: Mapping[str, object] | None = None) -> StationFile:
    return read_constants(text.encode(), station)


def table(text: str, station: Mapping[str, object] | None = None) -> HighLowFile:
    return read_high_low(text.encode(), station)


def test_constants_are_read_with_level_datum_zone_and_unit() -> None:
    file = constants(HEAD + "M2,1.45,153.2\nS2,0.5,201.7\n", OSTREL)

    assert file.harmonics.constituents == ("M2", "S2")
    assert file.harmonics.amplitude_m.tolist() == [1.45, 0.5]
    assert file.harmonics.phase_utc_deg.tolist() == [153.2, 201.7]
    assert np.isnan(file.harmonics.speed_deg_per_h).all()
    assert (file.harmonics.mean_level_m, file.datum, file.zone, file.unit, file.rows) == (
        2.6,
        "chart datum",
        "UTC",
        "m",
        2,
    )
    assert file.warnings == ()


@pytest.mark.parametrize(("unit", "factor"), [("m", 1.0), ("cm", 0.01), ("mm", 0.001), ("ft", FOOT)])
def test_amplitudes_come_in_the_unit_of_their_header(unit: str, factor: float) -> None:
    file = constants(f"name;amplitude_{unit};phase_utc_deg\nM2;1,5;10,0\n")

    assert file.harmonics.amplitude_m[0] == pytest.approx(1.5 * factor)
    assert file.harmonics.phase_utc_deg[0] == 10.0


def test_phases_on_another_zone_are_turned_by_the_speed_of_each_constituent() -> None:
    file = constants("constituent,amplitude_m,phase_deg_MET_UTCplus1\nS2,1,40\nM2,1,10\n", OSTREL)

    np.testing.assert_allclose(file.harmonics.phase_utc_deg, [10.0, 341.015896], atol=1e-5)
    assert file.zone == "UTC+01:00"


def test_phases_on_local_time_take_the_standard_time_of_the_stations_zone() -> None:
    """Published side by side on UTC and on local standard time."""
    both = (PUBLISHED / "tide_constants_jacksonville_beach.csv").read_text("utf-8")
    local = both.replace("phase_utc_deg", "unused").encode()

    on_utc = read_constants(both.encode())
    turned = read_constants(local, {"timezone": "America/New_York", "mean_level_m": 0.776, "datum": "MLLW"})

    apart = (turned.harmonics.phase_utc_deg - on_utc.harmonics.phase_utc_deg + 180) % 360 - 180
    assert np.abs(apart[on_utc.harmonics.amplitude_m > 0]).max() < 0.11
    assert turned.warnings == ("The phases were taken to be on standard time, UTC-5 h, all year.",)
    assert on_utc.ignored == ("phase_local_deg",)


def test_the_level_may_stand_as_a_row_of_its_own() -> None:
    file = constants(HEAD + "Z0,2.6,0\nM2,1.45,10\n")

    assert file.harmonics.mean_level_m == 2.6
    assert file.harmonics.constituents == ("M2",)
    assert file.warnings == ("The datum of the heights is not stated.",)


def test_no_level_is_not_known_and_said() -> None:
    file = constants(HEAD + "M2,1.45,10\n")

    assert np.isnan(file.harmonics.mean_level_m)
    assert "mean level" in file.warnings[0]


def test_a_name_in_no_table_needs_a_speed_and_keeps_it() -> None:
    head = "constituent,amplitude_m,phase_utc_deg,speed_deg_per_h\n"

    assert constants(head + "SEICHE,0.1,0,200\nM2,1,0,\n").harmonics.speed_deg_per_h[0] == 200.0
    with pytest.raises(BadInput, match="Line 2, column constituent: 'SEICHE' is not in the tables"):
        constants(HEAD + "SEICHE,0.1,0\n")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (HEAD + "M2,1,10\nm2,1,10\n", "Line 3, column constituent: 'M2' stands in line 2 already."),
        (HEAD + "LAM2,1,10\nLABDA2,1,10\n", "Line 3, column constituent: 'LABDA2' stands in line 2 already."),
        (HEAD + ",1,10\n", "Line 2, column constituent: There is no name of a constituent."),
        (HEAD + "M2,,10\n", "Line 2, column amplitude_m: There is no number."),
        (HEAD + "M2,1,\n", "Line 2, column phase_utc_deg: There is no number."),
        (HEAD + "M2,-0.1,10\n", "Line 2, column amplitude_m: An amplitude of -0.1 m is no tide; is the unit right?"),
        (HEAD + "M2,20.1,10\n", "Line 2, column amplitude_m: An amplitude of 20.1 m is no tide; is the unit right?"),
        (HEAD + "M2,1,360.5\n", "Line 2, column phase_utc_deg: A phase of 360.5 degrees lies outside -360 to 360."),
        (HEAD + "Z0,1,0\n", "There is no constituent in the file."),
        (HEAD + "Z0,1,5\nM2,1,1\n", "Line 2: A mean level stands once, with phase 0 and within 100 m."),
        (HEAD + "Z0,1,0\nA0,1,0\nM2,1,1\n", "Line 2: A mean level stands once, with phase 0 and within 100 m."),
        (
            "constituent,amplitude_m,phase_utc_deg,speed_deg_per_h\nM2,1,10,30\n",
            "Line 2, column speed_deg_per_h: M2 goes 28.984104 deg/h by the tables, not 30.",
        ),
        (
            "constituent,amplitude_m,phase_utc_deg,speed_deg_per_h\nX,1,10,0\n",
            "Line 2, column speed_deg_per_h: A speed of 0 deg/h is no tide.",
        ),
        (
            "constituent,amplitude_m,phase_local_deg\nM2,1,10\n",
            (
                "Line 1, column phase_local_deg: Which zone are the phases on?"
                " Head the column phase_utc_deg, or give the station file a timezone."
            ),
        ),
    ],
)
def test_constants_that_are_wrong_are_refused_with_line_and_column(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        constants(text)

    assert str(refusal.value) == f"{sentence} Nothing was taken in."


def test_a_level_in_both_places_must_agree() -> None:
    assert constants(HEAD + "Z0,2.6,0\nM2,1,1\n", OSTREL).harmonics.mean_level_m == 2.6
    with pytest.raises(BadInput, match=r"Line 2: The mean level is 2.5 m here and 2.6 m in the station file."):
        constants(HEAD + "Z0,2.5,0\nM2,1,1\n", OSTREL)


def test_a_table_is_read_with_datum_zone_and_unit() -> None:
    file = table(TABLE + ROWS, OSTREL)

    assert file.table.at.tolist() == [epoch("2027-05-15T07:36Z"), epoch("2027-05-15T13:54Z")]
    assert file.table.height_m.tolist() == [1.60, 3.64]
    assert file.table.high.tolist() == [False, True]
    assert (file.datum, file.zone, file.unit, file.rows, file.warnings) == ("chart datum", "UTC", "m", 2, ())


@pytest.mark.parametrize(("unit", "factor"), [("cm", 0.01), ("ft", FOOT), ("mm", 0.001)])
def test_heights_come_in_the_unit_of_their_header_above_the_datum_of_it(unit: str, factor: float) -> None:
    file = table(f"utc,height_{unit}_above_MLLW,kind\n2027-05-15T07:36Z,-5,LW\n")

    assert file.table.height_m[0] == pytest.approx(-5 * factor)
    assert (file.datum, file.unit) == ("MLLW", unit)


@pytest.mark.parametrize("word", ["H", "h", "HW", "High", "high water"])
def test_high_water_goes_by_several_words(word: str) -> None:
    assert table(f"{TABLE}2027-05-15 07:36,1.6,{word}\n").table.high.tolist() == [True]


@pytest.mark.parametrize(
    ("head", "moment"),
    [
        ("time_MET_UTCplus1", "2027-05-15T06:36Z"),
        ("time_UTC", "2027-05-15T07:36Z"),
        ("local_time", "2027-05-15T05:36Z"),
    ],
)
def test_times_come_in_the_zone_of_the_header_or_of_the_station(head: str, moment: str) -> None:
    file = table(f"{head},height_m,type\n2027-05-15 07:36,1.6,L\n", {"timezone": "Europe/Oslo"})

    assert file.table.at.tolist() == [epoch(moment)]


def test_a_column_on_utc_goes_before_local_time() -> None:
    file = table("local_time,utc,height_m,type\n2027-05-15 09:36,2027-05-15T07:36Z,1.6,L\n", {"timezone": "Asia/Tokyo"})

    assert file.table.at.tolist() == [epoch("2027-05-15T07:36Z")]
    assert file.ignored == ("local_time",)


def test_a_wall_time_that_came_twice_is_left_out_and_said() -> None:
    text = "time,height_ft,type\n2017-11-04 20:54,5.81,H\n2017-11-05 01:59,-0.43,L\n2017-11-05 08:22,6.98,H\n"

    file = table(text, {"timezone": "America/New_York", "datum": "MLLW"})

    assert file.table.at.tolist() == [epoch("2017-11-05T00:54Z"), epoch("2017-11-05T13:22Z")]
    assert file.warnings[0] == "Left out, as the clocks went back and the time came twice: line 3."
    assert "do not follow as high and low" in file.warnings[1]


def test_only_a_station_known_to_be_diurnal_gets_the_longer_gap() -> None:
    text = TABLE + "2027-05-15 00:00,1.0,L\n2027-05-15 13:00,2.0,H\n"

    mixed, diurnal = table(text, OSTREL), table(text, {**OSTREL, "form_number_F": 6.78})

    assert (mixed.longest_gap_s, diurnal.longest_gap_s) == (LONGEST_GAP, LONGEST_DIURNAL_GAP)
    assert mixed.warnings == ("1 times the next event is more than 12 h away.",)
    assert diurnal.warnings == ()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (TABLE + "2027-05-15 07:36,1.6,X\n", "Line 2, column type: 'X' is neither H nor L."),
        (
            TABLE + "2027-05-15 07:36,31,H\n",
            "Line 2, column height_m: A height of 31.0 m is no tide; is the unit right?",
        ),
        (
            TABLE + "2027-05-15 07:36,1.6,L\n2027-05-15 07:36,3.6,H\n",
            "Line 3, column time_utc: '2027-05-15 07:36' does not come after the time above it.",
        ),
        (
            TABLE + "05/04/2027 07:36,1.6,L\n",
            (
                "Line 2, column time_utc: Is '05/04/2027 07:36' day first or month first?"
                " Say date_order in the station file, or write 2026-04-03."
            ),
        ),
        (
            "time,height_m,type\n2027-05-15 07:36,1.6,L\n",
            (
                "Line 2, column time: The times have no zone. Head the column time_utc or time_utcplus1,"
                " or give the station file a timezone."
            ),
        ),
        (
            "utc,height,type\n2027-05-15 07:36,1.6,L\n",
            (
                "Line 1, column height: Are these metres, centimetres or feet?"
                " Head the column height_m, height_cm or height_ft."
            ),
        ),
        ("utc,height_m\n2027-05-15 07:36,1.6\n", "Line 1: The columns time_utc, height_m and type are needed;"),
    ],
)
def test_a_table_that_is_wrong_is_refused_with_line_and_column(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        table(text)

    assert str(refusal.value).startswith(sentence)
    assert str(refusal.value).endswith("Nothing was taken in.")


def test_two_datums_are_refused() -> None:
    with pytest.raises(BadInput, match="The heights are above MLLW, the station file's datum is chart datum"):
        table("utc,height_m_above_MLLW,type\n2027-05-15 07:36,1.6,L\n", OSTREL)


def test_the_columns_say_which_of_the_two_a_file_is() -> None:
    assert isinstance(read_tide((HEAD + "M2,1,1\n").encode()), StationFile)
    assert isinstance(read_tide((TABLE + ROWS).encode()), HighLowFile)
    with pytest.raises(
        BadInput, match="either constituent, amplitude_m and phase_utc_deg, or time_utc, height_m and type"
    ):
        read_tide(b"lat,lon\n1,2\n")


@pytest.mark.parametrize("file", outside_files("*_h[ia][rl][mo]*.csv"), ids=lambda path: path.name)
def test_every_published_file_present_is_read_whole(file) -> None:  # type: ignore[no-untyped-def] # noqa: ANN001
    station = read_station(next(file.parent.glob(f"{file.name.split('_')[0]}_*_station.json")))

    read = read_tide(file, station)

    assert read.rows == len(file.read_text("utf-8").splitlines()) - 1
    assert read.datum in ("MLLW", "NAP")


CELLS = st.sampled_from(
    [
        "M2",
        "1.5",
        "1,5",
        "",
        "H",
        "L",
        "2027-05-15 07:36",
        "2027-05-15T07:36Z",
        "03/04/2027 1:00",
        "999",
        "-1",
        "nan",
        '"',
        "é",
        "Z0",
    ]
)
HEADERS = st.sampled_from(
    [
        HEAD,
        TABLE,
        "time;height_cm;kind\n",
        "constituent,amplitude_ft,phase_local_deg,speed_deg_per_h\n",
        "utc,height_m_above_LAT,type,\n",
    ]
)
ZONES = st.sampled_from([None, {"timezone": "Europe/Oslo"}, {"timezone": "UTC+1", "date_order": "day first"}])


def sentence_of(content: bytes, station: Mapping[str, object] | None = None) -> str:
    """The refusal, empty where the file is read; any other error ends the test."""
    try:
        read_tide(content, station)
    except BadInput as refusal:
        return str(refusal)
    return ""


@settings(max_examples=300)
@given(HEADERS, st.lists(st.lists(CELLS, min_size=2, max_size=5), max_size=6), st.sampled_from(",;\t"), ZONES)
def test_no_mixture_of_cells_does_worse_than_a_refusal(
    header: str, rows: list[list[str]], separator: str, station: dict[str, object] | None
) -> None:
    text = header + "".join(separator.join(row) + "\n" for row in rows)

    sentence = sentence_of(text.encode(), station)

    assert sentence.endswith("Nothing was taken in.") if sentence or not rows else rows


@settings(max_examples=300)
@given(st.binary(max_size=400), HEADERS)
def test_no_bytes_do_worse_than_a_refusal(content: bytes, header: str) -> None:
    for whole in (content, header.encode() + content):
        assert len(sentence_of(whole)) < 600


@settings(max_examples=200)
@given(st.text(max_size=200), HEADERS)
def test_no_text_does_worse_than_a_refusal_of_one_line(content: str, header: str) -> None:
    assert "\n" not in sentence_of((header + content).encode("utf-8", "surrogatepass"))


FIELDS = ["datum", "unit", "timezone", "mean_level_m", "msl_above_x_m", "date_order", "name", "form_number_F"]
VALUES = st.one_of(
    st.none(), st.booleans(), st.text(max_size=20), st.floats(), st.integers(), st.lists(st.integers(), max_size=2)
)


@settings(max_examples=200)
@given(st.dictionaries(st.sampled_from(FIELDS), VALUES))
def test_no_station_file_does_worse_than_a_refusal(station: dict[str, object]) -> None:
    sentence = sentence_of((TABLE + ROWS).encode(), station)

    assert not sentence or sentence.endswith(("Nothing was taken in.", "?"))
