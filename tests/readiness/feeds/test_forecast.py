"""The forecast record: what is believed, what is sampled, what comes back from storage."""

import io
import math
import zipfile
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.feeds.forecast import (
    QUANTITIES,
    REACH_M,
    STRONGEST_WIND_MPS,
    ForecastFile,
    Variables,
    believed,
    pack,
    sample,
    unpack,
)
from tests.readiness.feeds.samples import tried
from vessel.errors import BadInput
from vessel.units import NAUTICAL_MILE

AT = np.array([0.0, 3600.0])
LAT, LON = np.array([50.0, 51.0]), np.array([-5.0, -4.0, -3.0])


def forecast(variables: Variables, **changes: object) -> ForecastFile:
    made = ForecastFile("grib", "grid", "made here", 0.0, AT, LAT, LON, variables)
    return replace(made, **changes)  # type: ignore[arg-type]


def field(*values: float) -> np.ndarray:
    return np.stack([np.full((2, 3), value) for value in values])


@pytest.mark.parametrize("name", QUANTITIES)
def test_a_value_at_the_end_of_its_range_is_believed_and_one_beyond_it_is_missing_and_said(name: str) -> None:
    quantity = QUANTITIES[name]
    beyond = 0.02 * (1 if quantity.most < 1e4 else 1e3)

    for edge, further in ((quantity.least, -beyond), (quantity.most, beyond)):
        kept = believed(forecast({name: field(edge, edge + further)}))

        assert (kept.variables[name][0] == edge).all()
        assert np.isnan(kept.variables[name][1]).all()
        assert kept.warnings[0].startswith("Outside ")
        assert kept.warnings[0].endswith(f"so not known: 6 values of {quantity.words}.")


@pytest.mark.parametrize("wild", [math.inf, -math.inf, 9999.0, 1e20])
def test_no_mark_for_missing_passes_as_a_value(wild: float) -> None:
    kept = believed(forecast({"gust_mps": field(wild, 5.0)}))

    assert np.isnan(kept.variables["gust_mps"][0]).all()
    assert (kept.variables["gust_mps"][1] == 5).all()


def test_half_a_vector_is_no_vector() -> None:
    kept = believed(forecast({"wind_east_mps": field(3, np.nan), "wind_north_mps": field(np.nan, 4)}))

    assert np.isnan(kept.variables["wind_east_mps"]).all()
    assert np.isnan(kept.variables["wind_north_mps"]).all()


@pytest.mark.parametrize(("speed", "is_known"), [(STRONGEST_WIND_MPS, True), (STRONGEST_WIND_MPS + 0.02, False)])
def test_the_wind_is_judged_as_a_whole_not_by_its_parts(speed: float, *, is_known: bool) -> None:
    part = speed / math.sqrt(2)

    kept = believed(forecast({"wind_east_mps": field(part, part), "wind_north_mps": field(part, part)}))

    assert np.isnan(kept.variables["wind_east_mps"]).any() != is_known
    assert bool(kept.warnings) != is_known


def test_a_forecast_with_nothing_to_doubt_is_left_as_it_is() -> None:
    made = forecast({"sea_c": field(12, np.nan)}, warnings=("an earlier one",))

    kept = believed(made)

    np.testing.assert_array_equal(kept.variables["sea_c"], made.variables["sea_c"])
    assert kept.warnings == ("an earlier one",)


def test_members_are_sampled_apart() -> None:
    members = np.stack([field(1, 2), field(3, 4)])

    taken = sample(forecast({"gust_mps": members}, members=(0, 1)), np.array([50.5, 49.0]), np.array([-4.2, -4.0]))

    np.testing.assert_array_equal(taken["gust_mps"], [[[1, np.nan], [2, np.nan]], [[3, np.nan], [4, np.nan]]])


def test_places_are_sampled_within_reach_only() -> None:
    made = forecast({"air_c": np.array([[10.0], [11.0]])}, layout="places", lat_deg=LAT[:1], lon_deg=LON[:1])
    beyond = 50 + (REACH_M / NAUTICAL_MILE + 0.1) / 60

    taken = sample(made, [50.1, beyond], [-5.0, -5.0])  # type: ignore[arg-type]

    np.testing.assert_array_equal(taken["air_c"], [[10, np.nan], [11, np.nan]])


def test_wind_that_turns_between_two_points_is_taken_as_a_vector() -> None:
    east = np.broadcast_to([10.0, -10.0, -10.0], (2, 2, 3))

    taken = sample(forecast({"wind_east_mps": east, "wind_north_mps": field(0, 0)}), 50.0, -4.5)

    np.testing.assert_allclose(taken["wind_east_mps"], 0)


PACKED = forecast(
    {"gust_mps": field(0.1, np.nan), "pressure_hpa": field(1013.25, 990.125)},
    issued_at=math.nan,
    warnings=("a warning with ° in it",),
    ignored=("x",),
)


def same(one: ForecastFile, other: ForecastFile) -> bool:
    plain = replace(one, issued_at=0.0, variables={}, at=AT, lat_deg=LAT, lon_deg=LON)
    return (
        plain == replace(other, issued_at=0.0, variables={}, at=AT, lat_deg=LAT, lon_deg=LON)
        and one.variables.keys() == other.variables.keys()
        and all(np.array_equal(one.variables[n], other.variables[n], equal_nan=True) for n in one.variables)
        and np.array_equal([one.issued_at], [other.issued_at], equal_nan=True)
        and all(np.array_equal(getattr(one, axis), getattr(other, axis)) for axis in ("at", "lat_deg", "lon_deg"))
    )


def test_what_is_kept_comes_back_bit_for_bit_and_gives_the_same_bytes() -> None:
    ensemble = forecast({"gust_mps": np.stack([field(0.1, 2), field(3, np.nan)])}, members=(0, 7))
    places = forecast(
        {"air_c": np.array([[10.0], [11.0]])}, kind="csv", layout="places", lat_deg=LAT[:1], lon_deg=LON[:1]
    )

    for made in (PACKED, ensemble, places):
        assert same(unpack(pack(made)), made)
        assert pack(unpack(pack(made))) == pack(made)


def test_values_that_need_only_half_the_digits_take_half_the_room() -> None:
    noise = np.random.default_rng(1).uniform(900, 1000, (2, 2, 3))
    short, long = noise.astype(np.float32).astype(float), noise

    assert len(pack(forecast({"pressure_hpa": short}))) < len(pack(forecast({"pressure_hpa": long})))


@settings(max_examples=200, deadline=None)
@given(st.integers(0, len(pack(PACKED)) - 1), st.integers(1, 255), st.booleans())
def test_damaged_bytes_are_refused_or_change_nothing(place: int, change: int, cut: bool) -> None:
    data = bytearray(pack(PACKED))
    data[place] ^= change

    forecast_, sentence = tried(unpack, bytes(data[:place]) if cut else bytes(data))

    assert forecast_ is None or same(forecast_, PACKED)
    assert forecast_ is not None or sentence == "The stored forecast is damaged and is not used; take it in again."


def test_a_store_that_would_fill_the_memory_is_refused() -> None:
    kept = io.BytesIO(pack(PACKED))
    with zipfile.ZipFile(kept, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("more.npy", bytes(520_000_000))

    with pytest.raises(BadInput, match="The stored forecast is damaged"):
        unpack(kept.getvalue())


def test_shapes_that_do_not_fit_together_are_refused() -> None:
    crooked = replace(PACKED, variables={"gust_mps": np.zeros((2, 2, 2))})

    with pytest.raises(BadInput, match="The stored forecast is damaged"):
        unpack(pack(crooked))
