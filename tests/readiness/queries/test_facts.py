"""The facts gathered from the database are the facts that were put in, at a constant cost."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import msgspec
import numpy as np
import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.models import Forecast, Gate, Harbour, KeeperPromise, Leg, LegSegment, LimitSet, TideStation
from readiness.queries.facts import coming_departures, facts_for
from readiness.rules.facts import Facts, Met, Waiver, changed, decode, encode
from readiness.rules.limits import Limits
from readiness.rules.words_of_trade import Kind
from tests.factories.readiness import bare_leg, stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput
from vessel.models import Availability, ElectricalSource, Equipment, Person, Proof, Reading, SafetyEquipment

pytestmark = pytest.mark.django_db
QUERIES = 16


def with_overlay(facts: Facts) -> Facts:
    """The worked example with a waiver, a met condition and limits of her own."""
    at = facts.judged_at
    waiver = Waiver(
        rule="mean_wind", cause="forecast:", by="owner-000001", at=at, reason="Short leg in the lee", instead="Reef",
        told=("Tam Ferrow",), value=14.5, limit=14.4, lapses_at_value=16.0, until=None, departure_at=at,
        leg_distance_m=88896.0, crew=("Ines Roke", "Odile Marr", "Tam Ferrow"),
    )  # fmt: skip
    met = Met(rule="not_tested", cause="job:JOB-1", by="owner-000001", at=at, departure_at=at, note="Dry inside")
    return changed(facts, waivers=(waiver,), met=(met,), limits=Limits(under_keel_m=0.5))


def again(leg: Leg, facts: Facts) -> Facts:
    """The facts gathered for the departures of others."""
    return facts_for(leg_id=leg.pk, at=facts.judged_at, departures=facts.departures)


def plain(facts: Facts) -> dict[str, Any]:
    """The document as JSON values: tide events near the departures, no numbers of the forecast (sampled elsewhere)."""
    document = msgspec.json.decode(encode(facts))
    for station, stated in zip(document["water"]["stations"], facts.water.stations, strict=True):
        near = [abs(at - facts.departures.first) < timedelta(days=2.5) for at in stated.event_at]
        for column in ("event_at", "event_m", "event_high"):
            station[column] = [value for value, wanted in zip(station[column], near, strict=True) if wanted]
    del document["counts"]["events"]
    document["water"]["forecast"] = {
        name: value for name, value in document["water"]["forecast"].items() if not isinstance(value, list)
    }
    return dict(document)


@pytest.mark.parametrize("pasts", [0, 2])
def test_what_was_put_in_comes_out_however_much_past_lies_behind_it(pasts: int) -> None:
    put_in = with_overlay(worked_example())

    out = again(stored(put_in, pasts), put_in)

    assert plain(out) == plain(put_in)


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


@pytest.mark.parametrize("pasts", [0, 3])
def test_facts_cost_the_same_number_of_queries_however_much_there_is(
    pasts: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    put_in = worked_example()
    leg = stored(put_in, pasts)

    with django_assert_num_queries(QUERIES):
        again(leg, put_in)


def test_facts_cost_no_more_queries_with_nearly_nothing(
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    leg = bare_leg()

    with django_assert_max_num_queries(QUERIES):
        facts_for(leg_id=leg.pk, at=datetime(2027, 5, 15, 5, tzinfo=UTC))


def test_what_is_not_known_stays_not_known_there_and_back() -> None:
    leg = bare_leg()

    facts = facts_for(leg_id=leg.pk, at=datetime(2027, 5, 15, 5, tzinfo=UTC))
    read_back = decode(encode(facts))

    assert encode(read_back) == encode(facts)
    assert np.isnan(facts.boat.vessel.draught_m)
    assert np.isnan(facts.boat.engine_hours_h.value)
    assert np.isnan(facts.leg.speed_mps)
    assert facts.boat.crank is None
    assert facts.boat.bank is None
    assert facts.boat.services is None
    assert facts.policies is None
    assert facts.contact is None
    assert facts.water.forecast is None
    assert facts.water.places[0].familiar is None
    assert facts.leg.points[0].depth_matters is None
    assert facts.leg.segments[0].exposed is None
    assert facts.leg.segments[0].stream is None


def test_facts_survive_the_trip_to_json_and_back() -> None:
    put_in = with_overlay(worked_example())

    out = again(stored(put_in), put_in)

    assert encode(decode(encode(out))) == encode(out)


def test_a_newest_proof_that_failed_is_no_proof() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    tiller = Equipment.objects.get(code="ST-04")
    Proof.objects.create(equipment=tiller, at=put_in.judged_at, passed=False, text="Jammed", by="owner-000001")

    facts = again(leg, put_in)

    assert {item.code: item.proved_at for item in facts.boat.equipment}["ST-04"] is None


def test_a_reading_struck_out_counts_no_more() -> None:
    put_in = worked_example()
    leg = stored(put_in, pasts=1)
    newest = Reading.objects.filter(series__kind="tank_level").latest("at")
    newest.struck_at, newest.struck_by = put_in.judged_at, "owner-000001"
    newest.save()

    facts = again(leg, put_in)

    assert facts.boat.fuel[0].reading_l.value == newest.value - 1


def test_equipment_taken_off_the_boat_is_not_among_the_facts() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    Equipment.objects.filter(code="ST-04").update(removed_on=date(2027, 5, 15))

    facts = again(leg, put_in)

    assert "ST-04" not in {item.code for item in facts.boat.equipment}


def test_a_reading_the_engine_outran_keeps_for_no_time() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    level = Reading.objects.get(series__kind="tank_level")
    level.engine_hours = 4100.0
    level.save()
    level.series.keeps_engine_hours = 50.0
    level.series.save()

    facts = again(leg, put_in)

    assert facts.boat.fuel[0].reading_l.keeps_s == 0.0


def test_a_spare_never_counted_leaves_what_is_carried_not_known() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    leg.vessel.spares.create(part="More oil", consumable="engine_oil", unit="l", quantity=None)

    facts = again(leg, put_in)

    assert np.isnan(facts.boat.consumables[0].carried_l)


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


@pytest.mark.parametrize(
    ("answers", "confirmed", "stays"),
    [
        (["yes"], True, 1),
        (["yes", "yes"], True, 2),
        (["yes", "not_known"], None, 2),
        (["yes", "no"], True, 1),
        (["no"], False, 0),
        ([], None, 0),
    ],
)
def test_a_person_is_confirmed_when_every_stay_is(answers: list[str], confirmed: bool | None, stays: int) -> None:
    put_in = worked_example()
    leg = stored(put_in)
    tam = Person.objects.get(name="Tam Ferrow")
    tam.availabilities.all().delete()
    for number, answer in enumerate(answers):
        start = put_in.judged_at + timedelta(days=number)
        Availability.objects.create(
            person=tam, aboard_from=start, aboard_until=start + timedelta(hours=20), answer=answer,
            confirmed_at=None if answer == "not_known" else put_in.judged_at,
        )  # fmt: skip

    person = next(person for person in again(leg, put_in).people if person.name == "Tam Ferrow")

    assert person.confirmed is confirmed
    assert len(person.aboard) == stays


def test_a_load_on_the_crank_battery_is_no_load_of_the_ship_and_left_on_it_is_a_discharge() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    crank = ElectricalSource.objects.get(kind="crank")
    crank.loads.create(vessel=leg.vessel, name="Chart light", running_a=0.5, left_on_since=put_in.judged_at)

    boat = again(leg, put_in).boat

    assert "Chart light" not in {load.name for load in boat.loads}
    assert boat.crank is not None
    assert boat.crank.discharged_at == (put_in.judged_at,)


def test_a_date_with_only_a_month_runs_to_its_last_day() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    SafetyEquipment.objects.filter(kind="lifejacket").update(
        valid_until=date(2027, 2, 1), valid_until_precision="month"
    )

    assert again(leg, put_in).boat.lifejackets[0].good_through == date(2027, 2, 28)


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


def test_a_limit_out_of_its_bounds_is_refused_and_named() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    LimitSet.objects.create(
        vessel=leg.vessel, number=2, values={"under_keel_m": 9.0}, set_at=put_in.judged_at, by="owner-000001"
    )

    with pytest.raises(BadInput, match="under_keel_m"):
        again(leg, put_in)


@pytest.mark.parametrize(("minute", "first"), [(5, "12:05"), (6, "12:20"), (20, "12:20"), (59, "13:05")])
def test_departures_begin_at_once_in_step_with_the_planned_one_and_run_for_ten_days(minute: int, first: str) -> None:
    planned_at = datetime(2027, 5, 17, 7, 35, tzinfo=UTC)

    departures = coming_departures(datetime(2027, 5, 15, 12, minute, tzinfo=UTC), planned_at)

    assert f"{departures.first:%H:%M}" == first
    assert departures.every_s * departures.count == 10 * 86400


@pytest.mark.parametrize("days", [9, 10, 40])
def test_departures_of_a_leg_far_off_begin_a_day_before_it(days: int) -> None:
    at = datetime(2027, 5, 15, 12, 0, tzinfo=UTC)
    planned_at = at + timedelta(days=days)

    first = coming_departures(at, planned_at).first

    assert first == (at if days < 10 else planned_at - timedelta(days=1))


def test_every_kind_of_equipment_in_the_database_is_a_kind_the_rules_know() -> None:
    assert {word for word, _ in Equipment._meta.get_field("kind").choices or ()} == {kind.value for kind in Kind}
