"""Taking a forecast in: once, whole, never from the future."""

from contextlib import nullcontext
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from readiness.actions.forecast import ForecastOver, take_in_forecast
from readiness.feeds.forecast import ForecastFile, unpack
from readiness.models import Forecast
from readiness.rules.words_of_trade import Confidence
from tests.readiness.models.conftest import AT
from vessel.errors import BadInput
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
ISSUED = AT.timestamp() - 3600
GUSTS = np.full((3, 2, 2), 9.0)


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


@pytest.fixture
def file() -> ForecastFile:
    """A small forecast, one value of it missing."""
    height = np.full((3, 2, 2), 0.9)
    height[1, 0, 0] = np.nan
    return ForecastFile(
        kind="grib", layout="grid", source="made up", issued_at=ISSUED, at=np.array([0.0, 3600.0, 7200.0]) + ISSUED,
        lat_deg=np.array([46.0, 47.0]), lon_deg=np.array([-16.0, -13.0]), variables={"wave_height_m": height},
    )  # fmt: skip


def test_a_forecast_is_kept_whole_with_what_it_covers(vessel: Vessel, file: ForecastFile) -> None:
    row = take_in_forecast(vessel=vessel, forecast=file, by="timetable", at=AT, confidence=Confidence.LOW)

    held = unpack(bytes(Forecast.objects.get(pk=row.pk).packed))
    np.testing.assert_array_equal(held.variables["wave_height_m"], file.variables["wave_height_m"])
    assert (row.south_deg, row.north_deg, row.west_deg, row.east_deg) == (46.0, 47.0, -16.0, -13.0)
    assert row.last_at - row.first_at == timedelta(hours=2)
    assert row.confidence == "low"
    assert HistoryEntry.objects.get().what == "Forecast taken in: made up, issued 2027-05-15 05:30 UTC."


def test_taken_in_twice_it_is_there_once(vessel: Vessel, file: ForecastFile) -> None:
    first = take_in_forecast(vessel=vessel, forecast=file, by="timetable", at=AT)

    again = take_in_forecast(vessel=vessel, forecast=file, by="timetable", at=AT + timedelta(hours=1))

    assert again == first
    assert Forecast.objects.count() == HistoryEntry.objects.count() == 1


def test_another_issue_and_other_content_are_other_forecasts(vessel: Vessel, file: ForecastFile) -> None:
    for other in (file, replace(file, issued_at=ISSUED - 3600), replace(file, variables={"gust_mps": GUSTS})):
        take_in_forecast(vessel=vessel, forecast=other, by="timetable", at=AT)

    assert Forecast.objects.count() == 3


def test_a_forecast_without_an_issue_time_is_kept_once_and_has_no_age(vessel: Vessel, file: ForecastFile) -> None:
    undated = replace(file, issued_at=float("nan"))

    rows = {take_in_forecast(vessel=vessel, forecast=undated, by="timetable", at=AT) for _ in range(2)}

    assert len(rows) == 1
    assert rows.pop().issued_at is None


def test_a_forecast_from_the_future_is_refused(vessel: Vessel, file: ForecastFile) -> None:
    with pytest.raises(BadInput, match="which is yet to come"):
        take_in_forecast(vessel=vessel, forecast=file, by="timetable", at=AT - timedelta(hours=2))

    assert not Forecast.objects.exists()


def test_one_of_which_nothing_is_known_is_refused(vessel: Vessel, file: ForecastFile) -> None:
    for variables in ({}, {"gust_mps": np.full((3, 2, 2), np.nan)}):
        with pytest.raises(BadInput, match="Nothing of this forecast can be used"):
            take_in_forecast(vessel=vessel, forecast=replace(file, variables=variables), by="timetable", at=AT)

    assert not Forecast.objects.exists()


@pytest.mark.parametrize(("seconds", "kept"), [(0, 1), (1, 0)])
def test_one_that_is_over_is_kept_only_where_that_is_said(
    vessel: Vessel, file: ForecastFile, seconds: int, kept: int
) -> None:
    at = AT + timedelta(hours=1, seconds=seconds)  # its last time is an hour after AT

    with (
        nullcontext()
        if kept
        else pytest.raises(ForecastOver, match=r"ended Sat 15 May 2027 07:30 UTC: it says nothing")
    ):
        take_in_forecast(vessel=vessel, forecast=file, by="timetable", at=at, even_over=False)

    assert Forecast.objects.count() == kept
    take_in_forecast(vessel=vessel, forecast=file, by="timetable", at=at, even_over=True)
    assert Forecast.objects.count() == 1


def test_a_forecast_of_nothing_is_refused(vessel: Vessel, file: ForecastFile) -> None:
    empty = replace(file, at=np.array([]), variables={})

    with pytest.raises(BadInput, match="no times or no places"):
        take_in_forecast(vessel=vessel, forecast=empty, by="timetable", at=AT)
