"""A forecast table: what is read, what is asked, and the line and column each refusal names."""

import math
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.feeds.forecast import ForecastFile, sample
from readiness.feeds.forecast_csv import read_forecast
from tests.readiness.feeds.samples import tried
from vessel.errors import BadInput
from vessel.units import KNOT, NAUTICAL_MILE

HEADER = "time_utc,latitude,longitude,wind_kn,wind_from_deg,gust_kn,wave_height_m,wave_period_s,wave_from_deg"
ROW = "2027-05-14T18:00Z,50.1,-4.2,20,270,28,1.4,6,180"
TABLE = f"# issued 2027-05-14T16:00Z\n{HEADER}\n{ROW}\n2027-05-14T19:00Z,50.1,-4.2,0,,,,,\n"


def read(text: str) -> ForecastFile:
    return read_forecast(text.encode())


def epoch(hour: int, minute: int = 0) -> float:
    return datetime(2027, 5, 14, hour, minute, tzinfo=UTC).timestamp()


def refusal(text: str | bytes) -> str:
    with pytest.raises(BadInput) as refused:
        read_forecast(text.encode() if isinstance(text, str) else text)
    assert "\n" not in str(refused.value)
    assert str(refused.value).endswith("Nothing was taken in.")
    return str(refused.value)


def test_a_row_is_read_into_si_with_vectors() -> None:
    forecast = read(TABLE)

    taken = {name: values[0, 0] for name, values in forecast.variables.items()}
    assert taken["wind_east_mps"] == pytest.approx(20 * KNOT)
    assert taken["wind_north_mps"] == pytest.approx(0, abs=1e-9)
    assert taken["gust_mps"] == pytest.approx(28 * KNOT)
    assert (taken["wave_height_m"], taken["wave_period_s"]) == (1.4, 6.0)
    assert (taken["wave_from_east"], taken["wave_from_north"]) == (pytest.approx(0, abs=1e-9), pytest.approx(-1))
    assert (forecast.issued_at, forecast.at.tolist()) == (epoch(16), [epoch(18), epoch(19)])
    assert forecast.warnings == ()


def test_a_blank_cell_is_not_known_and_a_calm_needs_no_direction() -> None:
    forecast = read(TABLE)

    assert (forecast.variables["wind_east_mps"][1, 0], forecast.variables["wind_north_mps"][1, 0]) == (0, 0)
    for name in ("gust_mps", "wave_height_m", "wave_period_s", "wave_from_east", "wave_from_north"):
        assert np.isnan(forecast.variables[name][1]).all()


@pytest.mark.parametrize(
    ("column", "cell", "variable", "expected"),
    [
        ("wind_mps", "7.5", "gust_mps", math.nan),
        ("gust_mps", "7.5", "gust_mps", 7.5),
        ("visibility_nmi", "2", "visibility_m", 2 * NAUTICAL_MILE),
        ("visibility_m", "900", "visibility_m", 900),
        ("pressure_hpa", "1013.2", "pressure_hpa", 1013.2),
        ("air_c", "-1.5", "air_c", -1.5),
        ("sea_c", "+12", "sea_c", 12),
    ],
)
def test_the_unit_in_the_header_decides(column: str, cell: str, variable: str, expected: float) -> None:
    forecast = read(f"time_utc,latitude,longitude,{column}\n2027-05-14 18:00,50.1,-4.2,{cell}\n")

    found = forecast.variables.get(variable, np.array([[math.nan]]))
    assert found[0, 0] == pytest.approx(expected, nan_ok=True)


def test_wind_without_a_direction_is_said_and_not_used() -> None:
    forecast = read("time_utc,latitude,longitude,wind_kn,sea_c\n2027-05-14 18:00,50.1,-4.2,12,12\n")
    blank = read(f"{HEADER}\n2027-05-14T18:00Z,50.1,-4.2,20,,28,,,\n")

    assert "The wind has no column wind_from_deg: the wind is not used." in forecast.warnings
    assert set(forecast.variables) == {"sea_c"}
    assert np.isnan(blank.variables["wind_east_mps"]).all()
    assert "Without a usable speed and direction, so not known: 1 wind." in blank.warnings


@pytest.mark.parametrize(("cells", "variable"), [("-1,270,,", "wind_east_mps"), ("150,270,,", "wind_east_mps"),
    ("20,361,,", "wind_east_mps"), ("20,-1,,", "wind_east_mps"), ("20,270,,31", "wave_height_m")])  # fmt: skip
def test_a_value_beyond_belief_is_missing_and_said_never_clipped(cells: str, variable: str) -> None:
    forecast = read(f"{HEADER}\n2027-05-14T18:00Z,50.1,-4.2,{cells},,\n")

    assert np.isnan(forecast.variables[variable]).all()
    assert any("so not known: 1 " in warning for warning in forecast.warnings)


def test_a_file_that_does_not_say_when_it_was_issued_has_no_age() -> None:
    forecast = read(f"{HEADER}\n{ROW}\n")

    assert math.isnan(forecast.issued_at)
    assert forecast.warnings == ("The file does not say when all of it was issued: it has no age and is not fresh.",)


def test_the_oldest_time_of_issue_counts_and_a_blank_one_spoils_it() -> None:
    rows = "2027-05-14T18:00Z,50,-4,1,2027-05-14T12:00Z\n2027-05-14T19:00Z,50,-4,1,{}\n"
    head = "time_utc,latitude,longitude,sea_c,issued_utc\n"

    assert read(head + rows.format("2027-05-14T13:00+01:00")).issued_at == epoch(12)
    older = read(head + rows.format("2027-05-14T06:00Z"))
    assert older.issued_at == epoch(6)
    assert "The rows were issued at 2 different times; the oldest counts for the age." in older.warnings
    assert math.isnan(read(head + rows.format("")).issued_at)


def test_places_that_fill_a_lattice_are_a_grid_and_others_are_places() -> None:
    rows = [f"2027-05-14T18:00Z,{lat},{lon},{lat + lon}" for lat in (50, 51) for lon in (179, -179)]
    head = "time_utc,latitude,longitude,sea_c\n"

    grid, places = read(head + "\n".join(rows)), read(head + "\n".join(rows[:3]))

    assert (grid.layout, grid.lat_deg.tolist(), grid.lon_deg.tolist()) == ("grid", [50, 51], [179, 181])
    assert places.layout == "places"
    assert sample(grid, 50.5, -180.0)["sea_c"][0, 0] != sample(places, 50.5, -180.0)["sea_c"][0, 0]


def test_a_place_without_a_row_for_a_time_is_not_known_then() -> None:
    head = "time_utc,latitude,longitude,sea_c\n"
    forecast = read(head + "2027-05-14T18:00Z,50,-4,10\n2027-05-14T18:00Z,52,-4,11\n2027-05-14T19:00Z,52,-4,12\n")

    np.testing.assert_array_equal(forecast.variables["sea_c"], [[10, 11], [np.nan, 12]])


def test_nothing_is_known_in_the_middle_of_a_hole() -> None:
    rows = [f"2027-05-14T{hour:02d}:00Z,50,-4,10" for hour in (0, 1, 2, 4, 5, 6)]

    forecast = read("time_utc,latitude,longitude,sea_c\n" + "\n".join(rows))

    assert forecast.at[3] == epoch(3)
    assert np.isnan(forecast.variables["sea_c"]).ravel().tolist() == [False] * 3 + [True] + [False] * 3
    assert forecast.warnings[-1] == "Missing or too far apart: 1 time. Nothing is known in between."


def with_decimal_commas(text: str, quote: str = "") -> str:
    for number in ("50.1", "-4.2", "1.4"):
        text = text.replace(number, quote + number.replace(".", ",") + quote)
    return text


CLEAR = {
    "semicolons and decimal commas": with_decimal_commas(TABLE.replace(",", ";")),
    "quoted decimal commas": with_decimal_commas(TABLE, '"'),
    "tabs": TABLE.replace(",", "\t"),
    "byte order mark": "\ufeff" + TABLE,
    "line ends of another system": TABLE.replace("\n", "\r\n"),
}


@pytest.mark.parametrize("text", CLEAR.values(), ids=CLEAR)
def test_separators_decimal_commas_and_marks_that_are_clear_are_read(text: str) -> None:
    forecast, plain = read(text), read(TABLE)

    assert forecast.lat_deg == plain.lat_deg
    for name, values in plain.variables.items():
        np.testing.assert_array_equal(forecast.variables[name], values)


def test_columns_not_known_here_are_left_alone_and_named() -> None:
    assert read(TABLE.replace("wave_from_deg", "mood")).ignored == ("mood",)


ONE = "time_utc,latitude,longitude,sea_c\n{},50,-4,{}\n"
REFUSED: dict[str, tuple[str | bytes, str]] = {
    "d/m or m/d": (ONE.format("05/04/2027 18:00", 1), "Line 2, column time_utc: Is '05/04/2027 18:00' day first or"),
    "d/m though clear": (ONE.format("14.05.2027 18:00", 1), "Line 2, column time_utc: Is '14.05.2027 18:00' day first"),
    "no such day": (ONE.format("2027-02-29T18:00Z", 1), "Line 2, column time_utc: '2027-02-29T18:00Z' does not exist."),
    "year 9999": (ONE.format("9999-01-01T00:00Z", 1), "Line 2, column time_utc: The year 9999 lies outside"),
    "no zone at all": (ONE.format("2027-05-14T18:00+23:00", 1), "Line 2, column time_utc: '2027-05-14T18:00+23:00'"),
    "week date": (ONE.format("2027-W20-5", 1), "Line 2, column time_utc: '2027-W20-5' is not a time such as"),
    "blank time": (ONE.format("", 1), "Line 2, column time_utc: '' is not a time such as"),
    "a word": (ONE.format("2027-05-14T18:00Z", "warm"), "Line 2, column sea_c: 'warm' is not a number; leave the cell"),
    "NaN": (ONE.format("2027-05-14T18:00Z", "NaN"), "Line 2, column sea_c: 'NaN' is not a number"),
    "infinity": (ONE.format("2027-05-14T18:00Z", "1e999"), "Line 2, column sea_c: '1e999' is not a number"),
    "thousands": (
        ONE.format("2027-05-14T18:00Z", "1,013").replace(",", ";").replace("1;013", "1,013"),
        "Line 2, column sea_c: Is the comma of '1,013' a decimal comma or a comma between thousands?",
    ),
    "comma and point": (
        "time_utc;latitude;longitude;sea_c\n2027-05-14T18:00Z;50;-4;1,5\n2027-05-14T19:00Z;50;-4;1.5\n",
        "Line 2, column sea_c: '1,5' has a comma, '1.5' on line 3 a point.",
    ),
    "latitude 91": (TABLE.replace("50.1", "91"), "Line 3, column latitude: '91' is not between -90 and 90 degrees."),
    "latitude blank": (TABLE.replace("50.1", ""), "Line 3, column latitude: '' is not between"),
    "longitude 361": (TABLE.replace("-4.2", "361"), "Line 3, column longitude: '361' is not between -180 and 360"),
    "same again": (TABLE + ROW, "Line 5, column time_utc: Time and place are those of line 3 again."),
    "same place by another count": (
        TABLE + ROW.replace("-4.2", "355.8"),
        "Line 5, column time_utc: Time and place are those of line 3 again.",
    ),
    "unit not known": (
        TABLE.replace("wind_kn", "wind_mph"),
        "Line 2, column 'wind_mph': In which unit is 'wind_mph'? Call the column one of wind_kn, wind_mps",
    ),
    "unit not given": (TABLE.replace("gust_kn", "gust"), "Line 2, column 'gust': In which unit is 'gust'?"),
    "twice": (TABLE.replace("gust_kn", "wind_mps"), "Line 2, column wind_mps: wind_kn and wind_mps give the same"),
    "the same column twice": (TABLE.replace("gust_kn", "wind_kn"), "Line 2: Two columns are called 'wind_kn'."),
    "no weather": ("time_utc,latitude,longitude\n2027-05-14T18:00Z,50,-4\n", "Line 1: No column holds weather"),
    "no place": ("time_utc,sea_c\n2027-05-14T18:00Z,5\n", "Line 1: The columns time_utc, latitude, longitude are"),
    "issue not a time": (TABLE.replace("# issued 2027-05-14T16:00Z", "# issued yesterday"), "Line 1, column issued: "),
    "ragged": (TABLE + "2027-05-14T20:00Z,50,-4\n", "Line 5: There are 3 cells where the header has 9."),
    "decimal comma makes a cell": (TABLE.replace("1.4", "1,4"), "Line 3: There are 10 cells where the header has 9."),
    "zero byte": (TABLE.replace("1.4", "1\0"), "Line 3: The file holds a zero byte"),
    "UTF-16": (TABLE.encode("utf-16"), "The file is UTF-16; save it as UTF-8 and try again."),
    "Latin-1": (TABLE.replace("issued", "für").encode("latin-1"), "Line 1: This is not UTF-8 text"),
    "1,000 columns": (HEADER + "".join(f",c{i}" for i in range(991)) + "\n", "Line 1: There are 1000 columns"),
    "endless cell": (TABLE.replace("1.4", "1" * 20_000), "Line 3: A cell is longer than 10,000 characters."),
    "too long": (b"x" * 10_000_001, "The file is larger than 10 MB."),
    "header alone": (HEADER + "\n", "Line 1: There is a header and no row under it."),
    "empty": ("", "The file is empty."),
    "open quote": (TABLE + '"', "Line 5: The quotes or separators do not work out"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_anything_else_is_refused_in_one_sentence_with_line_and_column(case: str) -> None:
    data, sentence = REFUSED[case]

    assert refusal(data).startswith(sentence)


def test_a_table_of_too_many_times_and_places_is_refused_before_it_is_laid_out() -> None:
    start = datetime(2027, 1, 1, tzinfo=UTC).timestamp()
    rows = (
        f"{datetime.fromtimestamp(start + 60 * i, UTC):%Y-%m-%dT%H:%MZ},{50 + i / 1000:.3f},-4,1" for i in range(6_000)
    )

    sentence = refusal("time_utc,latitude,longitude,sea_c\n" + "\n".join(rows))

    assert sentence.startswith("The table has too many different times and places")


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(TABLE) - 1), st.characters(codec="utf-8")), min_size=1, max_size=4))
def test_a_damaged_table_is_refused_or_still_a_valid_one(changes: list[tuple[int, str]]) -> None:
    text = list(TABLE)
    for place, character in changes:
        text[place] = character

    forecast, sentence = tried(read_forecast, "".join(text).encode())

    assert forecast is not None or sentence.endswith("Nothing was taken in.")
    for values in forecast.variables.values() if forecast else ():
        assert not np.isinf(values).any()
    assert forecast is None or (np.diff(forecast.at) > 0).all()
