"""The forecast in the facts: the members of an ensemble, the times that matter, what is missing."""

from datetime import timedelta

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.feeds.forecast import ForecastFile
from readiness.models import Forecast
from readiness.queries.facts_forecast import sampled
from readiness.rules.facts import Facts, decode, encode
from readiness.rules.facts_water import Forecast as ForecastFact
from readiness.rules.facts_water import Members
from readiness.rules.record import Array, epochs
from tests.factories.worked_example import worked_example
from vessel.units import DAY, HOUR

COUNT = 3
STRENGTH = np.arange(1.0, COUNT + 1.0)[:, None, None, None]


def ensemble(facts: Facts, *, without: tuple[str, ...] = (), hours: int = 48) -> ForecastFile:
    """Three members over a wide grid: each so many times as strong as the first."""
    start = facts.departures.first.timestamp() - 3.5 * HOUR
    at = start + HOUR * np.arange(hours + 1.0)
    points = facts.leg.points
    south, west = min(point.lat_deg for point in points) - 1, min(point.lon_deg for point in points) - 1
    lat, lon = south + np.array([0.0, 1.0, 2.0]), west + np.array([0.0, 2.0, 4.0])
    shape = (COUNT, len(at), 3, 3)
    slope = np.broadcast_to(lat[:, None] + 0.1 * lon, shape)
    variables: dict[str, Array] = {
        "wind_east_mps": STRENGTH * 2.0 * np.ones(shape), "wind_north_mps": np.zeros(shape),
        "gust_mps": STRENGTH + slope / 10, "wave_height_m": STRENGTH * 0.3 * np.ones(shape),
        "wave_period_s": np.full(shape, 4.5), "wave_from_east": np.full(shape, -1.0),
        "wave_from_north": np.zeros(shape), "visibility_m": np.full(shape, 9000.0),
    }  # fmt: skip
    kept = {name: values for name, values in variables.items() if name not in without}
    return ForecastFile(
        kind="grib", layout="grid", source="ensemble", issued_at=start, at=at, lat_deg=lat, lon_deg=lon,
        variables=kept, members=tuple(range(COUNT)),
    )  # fmt: skip


def fact(held: ForecastFile, facts: Facts) -> tuple[ForecastFact, Members]:
    """The forecast of the facts and its members."""
    row = Forecast(source=held.source, issued_at=facts.judged_at, confidence="normal")
    found = sampled(held, facts.leg, facts.departures, row)
    assert found.members is not None
    return found, found.members


def test_the_control_is_the_forecast_and_every_member_stands_beside_it_sampled_alike() -> None:
    facts = worked_example(4)

    found, members = fact(ensemble(facts), facts)

    assert members.gust_mps.shape == (COUNT, len(found.at), found.along_m.size)
    for name in Members.__struct_fields__:
        np.testing.assert_allclose(getattr(members, name)[0], getattr(found, name), atol=0.005)
    np.testing.assert_allclose(members.gust_mps[2] - members.gust_mps[0], 2.0, atol=0.011)
    np.testing.assert_allclose(members.wind_east_mps[2], 6.0)


def test_what_one_member_lacks_is_missing_there_alone_and_what_none_has_in_all_of_them() -> None:
    facts = worked_example(4)
    held = ensemble(facts, without=("wave_period_s",))
    held.variables["gust_mps"][1, 5] = np.nan

    _, members = fact(held, facts)

    blank = [np.isnan(gusts).all(axis=-1) for gusts in members.gust_mps]
    assert [int(np.sum(times)) for times in blank] == [0, 1, 0]
    assert np.isnan(members.wave_period_s).all()


def test_only_times_the_departures_can_meet_are_taken_with_one_before_the_first() -> None:
    facts = worked_example(4)
    later = replace(facts, departures=replace(facts.departures, first=facts.departures.first + timedelta(hours=20)))

    found, members = fact(ensemble(facts, hours=240), later)

    at = epochs(found.at)
    first = later.departures.first.timestamp()
    assert at[0] <= first < at[1]
    assert 4 * DAY - HOUR <= at[-1] - first - 3600.0 <= 4 * DAY
    assert members.gust_mps.shape[1] == len(at)


def test_a_single_forecast_has_no_members_and_a_place_forecast_may_have_some() -> None:
    facts = worked_example(4)
    held = ensemble(facts)
    one = ForecastFile(
        kind="csv", layout="places", source="places", issued_at=held.issued_at, at=held.at,
        lat_deg=np.array([46.5]), lon_deg=np.array([-15.0]),
        variables={name: values[:, :, 0, :1] for name, values in held.variables.items()}, members=held.members,
    )  # fmt: skip
    alone = ForecastFile(
        kind="grib", layout="grid", source="one", issued_at=held.issued_at, at=held.at, lat_deg=held.lat_deg,
        lon_deg=held.lon_deg, variables={name: values[0] for name, values in held.variables.items()},
    )  # fmt: skip
    row = Forecast(source="one", issued_at=facts.judged_at, confidence="normal")

    _, members = fact(one, facts)

    assert members.gust_mps.shape[0] == COUNT
    assert np.isfinite(members.gust_mps[:, :, 0]).all()
    assert np.isnan(members.gust_mps[:, :, -1]).all()  # the far end is beyond the reach of the one place
    assert sampled(alone, facts.leg, facts.departures, row).members is None


@pytest.mark.parametrize("lost", ["wind_east_mps", "gust_mps"])
def test_members_survive_the_document_with_what_is_missing(lost: str) -> None:
    facts = worked_example(4)
    found, members = fact(ensemble(facts, without=(lost,)), facts)

    again = decode(encode(replace(facts, water=replace(facts.water, forecast=found)))).water.forecast

    assert again is not None
    assert again.members is not None
    for name in Members.__struct_fields__:
        np.testing.assert_array_equal(getattr(again.members, name), getattr(members, name))
