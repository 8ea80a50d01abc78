from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.calc.tide import LONGEST_DIURNAL_GAP, LONGEST_GAP
from readiness.feeds.tide_station import read_station
from readiness.feeds.tide_table import HighLowFile, StationFile, read_high_low, read_tide
from tests.factories.tide import epoch, outside_files
from vessel.errors import BadInput
from vessel.units import FOOT

HEAD = "constituent,amplitude_m,phase_utc_deg\n"
TABLE = "time_utc,height_m,type\n"
ROWS = "2027-05-15 07:36,1.60,L\n2027-05-15 13:54,3.64,H\n"
OSTREL = {"name": "Ostrel Haven", "datum": "chart datum", "mean_level_m": 2.6, "timezone": "UTC"}


def table(text: str, station: Mapping[str, object] | None = None) -> HighLowFile:
    return read_high_low(text.encode(), station)


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
