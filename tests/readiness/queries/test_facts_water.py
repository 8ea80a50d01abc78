"""Facts of water and weather: what is near, what it hangs on, and what is damaged or not known."""

from datetime import timedelta

import numpy as np
import pytest

from readiness.models import Forecast, Gate, Harbour, KeeperPromise, Leg, LegSegment, TideStation
from tests.factories.readiness import again, stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput

pytestmark = pytest.mark.django_db


def test_the_forecast_is_sampled_at_every_point_and_at_most_five_miles_apart() -> None:
    put_in = worked_example()

    found = again(stored(put_in), put_in).water.forecast

    assert found is not None
    assert put_in.water.forecast is not None
    miles = found.along_m / 1852
    assert all(np.isclose(miles, mile, atol=1e-3).any() for mile in (0, 14, 23, 29, 40, 48))
    assert np.diff(miles).max() <= 5.0
    assert found.at == put_in.water.forecast.at[3:]
    np.testing.assert_allclose(found.wave_height_m, 0.9)
    np.testing.assert_allclose(found.wind_east_mps, put_in.water.forecast.wind_east_mps[0, 0])


def test_a_damaged_forecast_is_no_forecast() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    Forecast.objects.update(packed=b"PK\x03\x04 torn")

    assert again(leg, put_in).water.forecast is None


def test_the_newest_forecast_is_taken_and_one_without_a_time_never_before_one_with() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    older = Forecast.objects.get()
    older.pk, older.source, older.sha256 = None, "undated", "e" * 64
    older.issued_at, older.taken_in_at = None, put_in.judged_at
    older.save()

    found = again(leg, put_in).water.forecast

    assert found is not None
    assert found.source == "made-up forecast"


def test_a_place_to_wait_brings_its_own_gates_with_it() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    roads = Harbour.objects.get(key="vessary")
    leg.refuges.remove(roads)
    Gate.objects.create(vessel=leg.vessel, harbour=roads, key="vessary-bar", name="Vessary bar", kind="bar")
    far = Harbour.objects.create(vessel=leg.vessel, key="far", name="Far", zone="UTC", lat_deg=46.0, lon_deg=-13.0)

    water = again(leg, put_in).water

    assert "vessary-bar" in {gate.key for gate in water.gates}
    assert far.key not in {place.key for place in water.places}


def test_a_keepers_promise_is_for_its_own_leg_only() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    lock = Gate.objects.get(key="morrowick-lock")
    other = Leg.objects.get(pk=leg.pk)
    other.pk, other.key = None, "another"
    other.save()
    KeeperPromise.objects.create(leg=other, gate=lock, confirmed=True, keeper="Keeper", at=put_in.judged_at)

    gates = {gate.key: gate for gate in again(leg, put_in).water.gates}

    assert gates["morrowick-lock"].help.confirmed is None


def test_a_secondary_port_is_a_table_of_its_reference_with_the_differences_added() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    reference = TideStation.objects.get(key="ostrel")
    second = TideStation.objects.create(
        vessel=leg.vessel, key="morrowick", name="Morrowick", kind="secondary port", reference=reference,
        differences={"high_s": 600.0, "low_s": 300.0, "high_m": -0.2, "low_m": 0.1},
    )  # fmt: skip
    Harbour.objects.filter(key="morrowick").update(tide_station=second)

    stations = {station.key: station for station in again(leg, put_in).water.stations}

    shift = [
        later - first for first, later in zip(stations["ostrel"].event_at, stations["morrowick"].event_at, strict=True)
    ]
    highs = stations["ostrel"].event_high
    assert [bool(high) for high in highs] == [step == timedelta(minutes=10) for step in shift]
    rise = stations["morrowick"].event_m - stations["ostrel"].event_m
    np.testing.assert_allclose(rise, np.where(highs, -0.2, 0.1))


def test_a_secondary_port_with_a_difference_that_is_not_known_has_no_heights() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    second = TideStation.objects.create(
        vessel=leg.vessel, key="morrowick", name="Morrowick", kind="secondary port",
        reference=TideStation.objects.get(key="ostrel"), differences={"high_s": 0.0, "low_s": 0.0, "high_m": 0.0},
    )  # fmt: skip
    Harbour.objects.filter(key="morrowick").update(tide_station=second)

    station = next(one for one in again(leg, put_in).water.stations if one.key == "morrowick")

    assert np.isnan(station.event_m[~np.array(station.event_high)]).all()


def test_a_segment_nobody_described_is_there_and_nothing_is_known_of_it() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    LegSegment.objects.filter(leg=leg, number=3).delete()

    segments = again(leg, put_in).leg.segments

    assert len(segments) == 5
    assert segments[2].stream is None
    assert segments[2].exposed is None


def test_a_leg_without_a_way_is_refused_in_words() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    leg.points.filter(number__gt=1).delete()

    with pytest.raises(BadInput, match="give it at least two points"):
        again(leg, put_in)
