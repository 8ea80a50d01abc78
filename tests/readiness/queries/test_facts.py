"""The facts gathered from the database are the facts that were put in, at a constant cost."""

from datetime import UTC, datetime, timedelta
from typing import Any

import msgspec
import numpy as np
import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.models import LimitSet
from readiness.queries.facts import coming_departures, facts_for
from readiness.rules.facts import Facts, Met, Waiver, changed, decode, encode
from readiness.rules.limits import Limits
from tests.factories.readiness import again, bare_leg, stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput

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
