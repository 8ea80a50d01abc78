"""Facts of water and weather: what is near, what it hangs on, and what is damaged or not known."""

from datetime import timedelta

import numpy as np
import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.models import Forecast, Gate, Harbour, KeeperPromise, Leg, LegSegment, StreamTable, TideStation
from readiness.rules.words_of_trade import GateKind
from tests.factories.readiness import again, stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput
from vessel.models import Vessel

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


def on_the_way(leg: Leg, **columns: object) -> Gate:
    """Narrows that no harbour has, at the third point of the leg."""
    fields: dict[str, object] = {
        "key": "skarn-narrows",
        "name": "Skarn Narrows",
        "kind": "narrows",
        "zone": "Europe/Lisbon",
    }
    gate = Gate.objects.create(vessel=leg.vessel, **(fields | columns))
    leg.points.filter(number=3).update(gate=gate)
    return gate


def test_a_gate_on_the_way_comes_with_its_zone_its_stream_and_its_place_to_wait() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    far = Harbour.objects.create(vessel=leg.vessel, key="far", name="Far", zone="UTC", lat_deg=46.0, lon_deg=-13.0)
    port = TideStation.objects.create(vessel=leg.vessel, key="far-port", name="Far port", kind="printed table")
    table = StreamTable.objects.create(
        vessel=leg.vessel,
        key="in-the-gap",
        name="In the gap",
        tide_station=port,
        neaps_range_m=2.0,
        springs_range_m=4.0,
    )
    on_the_way(leg, stream_table=table, most_rate_mps=2.0, wait_place=far)
    Gate.objects.create(vessel=leg.vessel, key="elsewhere", name="Elsewhere", kind="narrows", zone="UTC")

    water = again(leg, put_in).water

    (gate,) = (gate for gate in water.gates if gate.kind == GateKind.NARROWS)
    assert (gate.place, gate.zone, gate.stream, gate.wait_place) == (None, "Europe/Lisbon", "in-the-gap", "far")
    assert "far" in {place.key for place in water.places}
    assert "in-the-gap" in {stream.key for stream in water.streams}
    assert "far-port" in {station.key for station in water.stations}


def beside(leg: Leg, key: str, lat_deg: float, lon_deg: float) -> None:
    """A steady stream table observed at a place."""
    table = StreamTable.objects.create(
        vessel=leg.vessel, key=key, name=key, steady=True, lat_deg=lat_deg, lon_deg=lon_deg
    )
    table.rows.create(from_high_water_s=0.0, set_deg=90.0, rate_neaps_mps=0.5, rate_springs_mps=0.5)


def test_tables_near_the_way_come_in_only_where_a_segment_asks_for_them() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    beside(leg, "near", 46.6, -14.8)
    beside(leg, "far", 47.5, -14.8)

    named = {stream.key for stream in again(leg, put_in).water.streams}
    LegSegment.objects.filter(leg=leg, number=2).update(stream_by="nearest table")
    nearest = {stream.key for stream in again(leg, put_in).water.streams}

    assert "near" not in named
    assert nearest == named | {"near"}


def test_near_tables_cost_no_further_query_and_those_of_another_vessel_stay_there(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    put_in = worked_example()
    leg = stored(put_in)
    LegSegment.objects.filter(leg=leg).update(stream_by="between tables")
    for number in range(5):
        beside(leg, f"near-{number}", 46.5, -14.9 + 0.1 * number)
    other = Leg.objects.get(pk=leg.pk)
    other.vessel = Vessel.objects.create(name="Another")
    beside(other, "theirs", 46.5, -14.8)

    with django_assert_num_queries(16):
        water = again(leg, put_in).water

    assert {stream.key for stream in water.streams} >= {f"near-{number}" for number in range(5)}
    assert "theirs" not in {stream.key for stream in water.streams}


def test_over_the_date_line_tables_on_both_sides_are_near() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    LegSegment.objects.filter(leg=leg).update(stream_by="nearest table")
    for number, lon_deg in enumerate((179.8, 179.9, 179.95, -179.95, -179.9, -179.8), start=1):
        leg.points.filter(number=number).update(lon_deg=lon_deg)
    for key, lon_deg in (("west", 179.9), ("east", -179.9), ("round", 0.0)):
        beside(leg, key, 46.5, lon_deg)

    found = {stream.key for stream in again(leg, put_in).water.streams}

    assert {"west", "east"} <= found
    assert "round" not in found
