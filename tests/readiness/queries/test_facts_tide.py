"""Stations of all kinds as the facts hold them."""

from datetime import timedelta
from typing import Any

import numpy as np
import pytest

from readiness.calc.tide import high_low_of
from readiness.calc.tide_secondary import secondary
from readiness.models import TideStation
from readiness.queries.facts_tide import AFTER, BEFORE, harmonics_of, stations_of
from readiness.rules.facts_water import Departures, Station
from readiness.rules.record import epochs
from readiness.rules.tide_differences import port_of
from readiness.rules.words_of_trade import StationKind
from tests.readiness.models.conftest import AT
from vessel.models import Vessel

pytestmark = pytest.mark.django_db
CONSTANTS = [
    {"name": "M2", "amplitude_m": 1.45, "phase_utc_deg": 153.2, "speed_deg_per_h": None},
    {"name": "S2", "amplitude_m": 0.5, "phase_utc_deg": 201.7, "speed_deg_per_h": None},
]
SPAN = Departures(first=AT, every_s=900.0, count=96)
FIT = {"count": 1}
WATER = {"clock_s": [0, 43200], "late_s": [2100, 1380], "reference_m": [4.2, 3.4], "more_m": [1.1, 0.8]}


@pytest.fixture
def reference() -> TideStation:
    """A station with constants."""
    vessel = Vessel.objects.create(name="Tallow Wren")
    return TideStation.objects.create(
        vessel=vessel, key="ostrel", name="Ostrel", kind="harmonic constants", datum="chart datum", mean_level_m=2.6,
        constants=CONSTANTS,
    )  # fmt: skip


def port(reference: TideStation, differences: Any) -> TideStation:
    return TideStation.objects.create(
        vessel=reference.vessel, key="brannow", name="Brannow", kind="secondary port", datum="chart datum",
        reference=reference, differences=differences,
    )  # fmt: skip


def held(station: TideStation) -> Station:
    return stations_of([station.pk], SPAN)[0]


def test_a_fitted_station_is_one_with_constants(reference: TideStation) -> None:
    TideStation.objects.filter(pk=reference.pk).update(kind="fitted", fit=FIT)

    station = held(reference)

    assert station.kind == StationKind.HARMONIC
    assert station.constituents == ("M2", "S2")
    assert station.mean_level_m == 2.6


@pytest.mark.parametrize(
    "differences",
    [
        {"form": "ratios", "high_s": 60, "low_s": 120, "high_ratio": 0.9, "low_ratio": 0.8},
        {"form": "columns", "clock_ahead_s": 3600, "high": WATER, "low": WATER},
    ],
    ids=lambda each: each["form"],
)
@pytest.mark.parametrize("kind", ["harmonic constants", "fitted"])
def test_a_secondary_port_has_the_events_of_its_reference_with_differences_of_any_form(
    reference: TideStation, differences: dict[str, Any], kind: str
) -> None:
    TideStation.objects.filter(pk=reference.pk).update(kind=kind, fit=FIT if kind == "fitted" else None)
    start, end = (AT - BEFORE).timestamp(), (AT + timedelta(days=1) + AFTER).timestamp()
    by_hand = secondary(high_low_of(harmonics_of(CONSTANTS, 2.6), start, end), port_of(differences))

    station = held(port(reference, differences))

    assert station.kind == StationKind.TABLE
    assert epochs(station.event_at) == pytest.approx(by_hand.at, abs=1e-3)
    np.testing.assert_allclose(station.event_m, by_hand.height_m)
    assert station.event_high == tuple(by_hand.high.tolist())


def test_a_height_difference_not_known_leaves_heights_not_known(reference: TideStation) -> None:
    station = held(port(reference, {"high_s": 0, "low_s": 0, "high_m": None, "low_m": 0}))

    assert np.array_equal(np.isnan(station.event_m), station.event_high)
    assert True in station.event_high


def test_a_time_difference_not_known_leaves_those_events_out(reference: TideStation) -> None:
    station = held(port(reference, {"high_s": None, "low_s": 0, "high_m": 0, "low_m": 0}))

    assert set(station.event_high) == {False}


@pytest.mark.parametrize("differences", [{"hi_s": 0}, [1], {"form": "guess"}], ids=str)
def test_differences_that_make_no_sense_leave_no_events(reference: TideStation, differences: Any) -> None:
    assert held(port(reference, differences)).event_at == ()


def test_a_port_whose_reference_is_secondary_itself_has_no_events(reference: TideStation) -> None:
    plain = {"high_s": 0, "low_s": 0, "high_m": 0, "low_m": 0}
    second = port(reference, plain)
    third = TideStation.objects.create(
        vessel=reference.vessel, key="third", name="Third", kind="secondary port", reference=second, differences=plain
    )

    assert held(third).event_at == ()


def test_no_event_comes_from_a_time_for_which_the_references_figures_do_not_hold(reference: TideStation) -> None:
    plain = {"high_s": 0, "low_s": 0, "high_m": 0, "low_m": 0}
    TideStation.objects.filter(pk=reference.pk).update(valid_from=AT, valid_to=AT + timedelta(days=1))

    station = held(port(reference, plain))

    assert len(station.event_at) == 4
    assert min(station.event_at) >= AT
    assert max(station.event_at) <= AT + timedelta(days=1)


@pytest.mark.parametrize("kinds", [1, 2])
def test_stations_cost_one_query_however_many(
    reference: TideStation, kinds: int, django_assert_num_queries: Any
) -> None:
    stations = [reference, port(reference, {"high_s": 0, "low_s": 0, "high_m": 0, "low_m": 0})][:kinds]

    with django_assert_num_queries(1):
        found = stations_of([each.pk for each in stations], SPAN)

    assert len(found) == kinds
