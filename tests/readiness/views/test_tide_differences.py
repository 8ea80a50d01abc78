from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from readiness.management.demo.coast import BRANNOW_DIFFERENCES
from readiness.models import TideStation
from readiness.views.tide_differences import DifferenceTables, HeightRow, TimeRow, difference_tables, zone_ahead
from tests.factories.aboard import aboard, signed_in

COLUMNS = (
    b"water,clock_utcplus1,time_min,reference_m,height_m\n"
    b"H,00:00,35,,\nH,06:00,23,,\nH,,,4.2,0.3\nH,,,3.4,0.1\nL,,10,,-0.1\n"
)
AS_TYPED = {
    "clock_ahead_s": "1", "high_times": "00:00 +35\n0600 23 min", "low_times": "10", "high_levels": "4.2 0.3\n3.4 m 0.1 m",
    "low_levels": "-0.1",
}  # fmt: skip


def tables(document: dict[str, Any]) -> DifferenceTables:
    told = difference_tables(document)
    assert told is not None
    return told


def test_columns_are_told_by_the_clock_and_by_the_height_of_the_reference() -> None:
    told = tables(BRANNOW_DIFFERENCES)

    assert told.zone == "UTC"
    assert told.times[:2] == (
        TimeRow("00:00", "4 min later", "11 min later"),
        TimeRow("06:00", "6 min later", "9 min later"),
    )
    assert told.heights == (
        HeightRow("High water of 4.55 m", "0.20 m lower"),
        HeightRow("High water of 3.55 m", "0.10 m lower"),
        HeightRow("Low water of 0.65 m", "0.10 m higher"),
        HeightRow("Low water of 1.65 m", "same height"),
    )


def test_single_differences_hold_at_all_times_and_what_is_not_known_is_said() -> None:
    told = tables({"form": "single", "high_s": -300.0, "low_s": 0.0, "high_m": None, "low_m": 0.05})

    assert told.times == (TimeRow("at all times", "5 min earlier", "same time"),)
    assert told.heights == (HeightRow("High water", "not known"), HeightRow("Low water", "0.05 m higher"))
    assert told.zone == ""


def test_ratios_are_told_as_factors() -> None:
    told = tables({"form": "ratios", "high_s": 4260, "low_s": None, "high_ratio": 0.55, "low_ratio": None})

    assert told.times == (TimeRow("at all times", "1 h 11 min later", "not known"),)
    assert told.heights == (HeightRow("High water", "times 0.55"), HeightRow("Low water", "not known"))


def test_a_difference_round_the_clock_stands_in_every_row_and_one_between_rows_in_none() -> None:
    water = {"clock_s": [0, 21600], "late_s": [60, None], "reference_m": [0], "more_m": [0]}
    other = {**water, "clock_s": [0, 43200]}

    all_day = tables({"form": "columns", "clock_ahead_s": -12600, "high": water,
                      "low": {**water, "clock_s": [0], "late_s": [120]}})  # fmt: skip
    between = tables({"form": "columns", "clock_ahead_s": 0, "high": water, "low": other})

    assert [(row.high, row.low) for row in all_day.times] == [
        ("1 min later", "2 min later"),
        ("not known", "2 min later"),
    ]
    assert all_day.zone == "UTC−3:30"
    assert [row.low for row in between.times] == ["1 min later", "", "not known"]


@pytest.mark.parametrize("document", [None, {}, {"form": "tables"}, {"form": "ratios", "high_ratio": -1}])
def test_no_differences_or_such_as_make_no_sense_have_no_tables(document: dict[str, Any] | None) -> None:
    assert difference_tables(document) is None


@pytest.mark.parametrize(("ahead_s", "words"), [(0, "UTC"), (3600, "UTC+1"), (-7200, "UTC−2"), (20700, "UTC+5:45")])
def test_the_clock_is_named_by_how_far_it_is_ahead(ahead_s: float, words: str) -> None:
    assert zone_ahead(ahead_s) == words


@pytest.fixture
def reference(db: None) -> TideStation:
    constants = [{"name": "M2", "amplitude_m": 1.4, "phase_utc_deg": 0.0, "speed_deg_per_h": None}]
    return TideStation.objects.create(
        vessel=aboard().vessel, key="ostrel", name="Ostrel Haven", kind="harmonic constants", datum="chart datum",
        mean_level_m=2.6, constants=constants,
    )  # fmt: skip


@pytest.fixture
def browser(reference: TideStation) -> Client:
    return signed_in(aboard(reference.vessel))


def sent(browser: Client, reference: TideStation, data: bytes = b"", **typed: str) -> tuple[int, str]:
    files = {"file": SimpleUploadedFile("d.csv", data)} if data else {}
    asked = {"name": "Brannowmouth", "what": "port", "reference": str(reference.pk), "datum": "chart datum"}
    answer = browser.post("/tides/add/", {**asked, **typed, **files})
    return answer.status_code, answer.content.decode()


def test_columns_typed_and_columns_by_file_are_kept_alike(browser: Client, reference: TideStation) -> None:
    by_hand = sent(browser, reference, b"", name="By hand", **AS_TYPED)
    by_file = sent(browser, reference, COLUMNS, name="By file")

    assert (by_hand[0], by_file[0]) == (302, 302), by_hand[1] + by_file[1]
    kept = [TideStation.objects.get(name=name).differences or {} for name in ("By hand", "By file")]
    assert kept[0] == kept[1]
    assert kept[0]["high"]["late_s"] == [2100.0, 1380.0]


def test_ratios_are_kept_with_their_times_and_shown_on_the_page(browser: Client, reference: TideStation) -> None:
    status, text = sent(browser, reference, high_s="71", low_s="113", high_ratio="0.55")

    row = TideStation.objects.get(name="Brannowmouth")
    assert status == 302, text
    assert row.differences == {
        "form": "ratios",
        "high_s": 4260.0,
        "low_s": 6780.0,
        "high_ratio": 0.55,
        "low_ratio": None,
    }
    page = browser.get(f"/tides/{row.pk}/").content.decode()
    assert "times 0.55" in page
    assert "1 h 11 min later" in page
    assert "by one difference in time and a ratio of heights" in page


@pytest.mark.parametrize(
    ("data", "typed", "said"),
    [
        (b"", {"high_m": "0.1", "high_ratio": "0.5"}, "The differences are given in two ways."),
        (b"", {**AS_TYPED, "high_s": "5"}, "The differences are given in two ways."),
        (COLUMNS, {"high_s": "5"}, "Give the differences by file or type them, not both."),
        (b"", {**AS_TYPED, "clock_ahead_s": ""}, "The clock of the columns is not stated"),
        (b"", {**AS_TYPED, "high_times": "25:00 5"}, "One clock time a line and the minutes later"),
        (b"", {**AS_TYPED, "high_times": "00:00 5\n7"}, "One clock time a line and the minutes later"),
        (b"", {**AS_TYPED, "high_times": "00:00 soon"}, "00:00 soon"),
        (b"", {**AS_TYPED, "high_levels": "4.2 0.3\n4.2 0.1"}, "two different numbers"),
        (b"", {**AS_TYPED, "high_levels": "4.2 0.3\n0.1"}, "one line for springs and one for neaps"),
        (b"", {**AS_TYPED, "low_times": ""}, "For low water there is one difference in time"),
        (b"water,time_min,height_m\nH,x,1\n", {}, "Line 2, column time_min"),
    ],
)  # fmt: skip
def test_differences_that_cannot_be_meant_are_told_and_nothing_is_written(
    browser: Client, reference: TideStation, data: bytes, typed: dict[str, str], said: str
) -> None:
    status, text = sent(browser, reference, data, **typed)

    assert status == 422
    assert said in text
    assert TideStation.objects.count() == 1


def test_differences_sent_as_a_tide_of_its_own_say_what_to_choose(browser: Client, reference: TideStation) -> None:
    status, text = sent(browser, reference, COLUMNS, what="file")

    assert status == 422
    assert "The file holds differences on another port" in text
