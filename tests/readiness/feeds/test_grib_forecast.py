"""A GRIB file as one forecast: what is used, what is left out and said, and where nothing is known."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from readiness.feeds.forecast import ForecastFile, sample
from readiness.feeds.grib import GribFile, read_grib
from readiness.feeds.grib_forecast import to_forecast
from tests.readiness.feeds.samples import OUTSIDE, grib, message
from vessel.errors import BadInput
from vessel.units import HOUR

RUN = datetime(2027, 5, 14, 12, tzinfo=UTC).timestamp()
MEMBER = [["productDefinitionTemplateNumber", 1]]


def forecast(*messages: dict[str, Any]) -> ForecastFile:
    return to_forecast(read_grib(grib(*messages)), source="made here")


def always(value: float) -> Callable[[float, float], float]:
    return lambda *_: value


def wind(east: float, north: float, **more: Any) -> Iterator[dict[str, Any]]:
    yield message("10u", always(east), **more)
    yield message("10v", always(north), **more)


def first(found: ForecastFile, name: str) -> float:
    return float(found.variables[name].ravel()[0])


def test_every_quantity_of_a_passage_comes_out_in_si() -> None:
    found = forecast(
        *wind(3, -4), message("gust", always(9)), message("swh", always(1.5)), message("mwp", always(6)),
        message("mwd", always(270)), message("vis", always(8000)), message("prmsl", always(101_300)),
        message("sst", always(285.15)), message("2t", always(283.15), edition=1),
    )  # fmt: skip

    expected = {
        "wind_east_mps": 3, "wind_north_mps": -4, "gust_mps": 9, "wave_height_m": 1.5, "wave_period_s": 6,
        "wave_from_east": -1, "wave_from_north": 0, "visibility_m": 8000, "pressure_hpa": 1013, "air_c": 10, "sea_c": 12,
    }  # fmt: skip
    assert {name: first(found, name) for name in found.variables} == pytest.approx(expected, rel=1e-6, abs=1e-4)
    assert (found.issued_at, found.at.tolist(), found.members) == (RUN, [RUN], ())
    assert (found.lat_deg.tolist(), found.lon_deg.tolist()) == ([50, 50.5, 51], [-5, -4.5, -4])


def test_what_a_passage_does_not_need_is_named_and_left_out() -> None:
    peak_period = message("pp1d", always(9))
    found = forecast(
        *wind(3, 4),
        message("rh", always(80)),
        message("rh", always(81), step_h=1),
        message("mwp", always(6)),
        peak_period,
    )

    assert first(found, "wave_period_s") == pytest.approx(6)
    assert found.ignored == (
        "pp1d at surface 0: mwp is used instead (1 field)",
        "r at surface 0: not needed for a passage (2 fields)",
    )


@pytest.mark.parametrize(
    ("more", "before", "reason"),
    [
        ([["typeOfStatisticalProcessing", 0], ["stepRange", "0-3"]], 8, "not needed for a passage"),
        ([["derivedForecast", 4]], 2, "a mean, spread or probability of an ensemble"),
    ],
)
def test_a_mean_or_a_spread_never_passes_for_the_wind(more: list[list[Any]], before: int, reason: str) -> None:
    template = [["productDefinitionTemplateNumber", before]]
    odd = message("10u", always(1), before=template, more=more)

    with pytest.raises(BadInput, match=rf"^This GRIB file holds no field that can be used: .*{reason}"):
        forecast(odd)


def test_a_mean_of_another_quantity_is_not_taken_for_its_value() -> None:
    template = [["productDefinitionTemplateNumber", 8]]
    mean = message("swh", always(1), before=template, more=[["typeOfStatisticalProcessing", 0], ["stepRange", "0-3"]])

    with pytest.raises(BadInput, match="holds no field that can be used"):
        forecast(mean)


def test_one_part_of_the_wind_without_the_other_is_said_and_not_used() -> None:
    with pytest.raises(
        BadInput, match="The east part of the wind is there without the north part: the wind is not used"
    ):
        forecast(message("10u", always(3)))
    found = forecast(message("10v", always(3)), message("swh", always(1)))

    assert set(found.variables) == {"wave_height_m"}
    assert "The north part of the wind is there without the east part: the wind is not used." in found.warnings


def test_a_time_at_which_one_part_is_missing_has_no_wind_though_its_neighbours_have() -> None:
    both = [each for hour in (0, 1, 2) for each in wind(3, 4, step_h=hour)]
    without = [each for each in both if each is not both[3]]

    found = forecast(*without)

    assert np.isnan(found.variables["wind_east_mps"]).all(axis=(1, 2)).tolist() == [False, True, False]
    assert np.isnan(found.variables["wind_north_mps"]).all(axis=(1, 2)).tolist() == [False, True, False]
    assert "One part of the wind without the other at 1 time: no wind then." in found.warnings


def test_a_missing_value_of_one_part_takes_the_other_with_it() -> None:
    found = forecast(message("10u", lambda _, lon: None if lon == -5 else 3), message("10v", always(4)))

    np.testing.assert_array_equal(np.isnan(found.variables["wind_north_mps"][0]), [[True, False, False]] * 3)


def test_variables_with_other_times_are_laid_on_one_row_of_times() -> None:
    hourly = [each for hour in (0, 1, 2, 3) for each in wind(hour, 0, step_h=hour)]

    found = forecast(*hourly, message("swh", always(1)), message("swh", always(4), step_h=3))

    assert (found.at - RUN).tolist() == [0, HOUR, 2 * HOUR, 3 * HOUR]
    assert found.variables["wave_height_m"][:, 0, 0].tolist() == pytest.approx([1, 2, 3, 4], abs=1e-5)


def test_a_time_missing_from_the_file_shows_as_a_hole_in_every_variable() -> None:
    found = forecast(*(each for hour in (0, 1, 2, 4, 5, 6) for each in wind(3, 4, step_h=hour)))

    middle = (found.at - RUN).tolist().index(3 * HOUR)
    assert np.isnan(found.variables["wind_east_mps"][middle]).all()
    assert np.isfinite(np.delete(found.variables["wind_east_mps"], middle, axis=0)).all()
    assert "Missing or too far apart: 1 time. Nothing is known in between." in found.warnings


def test_a_gust_over_an_interval_holds_at_the_hours_inside_it() -> None:
    peak = message(
        "gust", always(20), before=[["productDefinitionTemplateNumber", 8]],
        more=[["typeOfStatisticalProcessing", 2], ["stepRange", "0-3"]],
    )  # fmt: skip

    found = forecast(peak, *(each for hour in (0, 1, 2, 3, 4) for each in wind(3, 4, step_h=hour)))

    gusts = found.variables["gust_mps"][:, 0, 0]
    np.testing.assert_allclose(gusts, [20, 20, 20, np.nan, np.nan], atol=1e-4)


def hours(count: int) -> list[dict[str, Any]]:
    """Wind, sea and hourly greatest gust, all different at every hour."""
    peak = [["productDefinitionTemplateNumber", 8]]
    made: list[dict[str, Any]] = []
    for hour in range(count):
        made += [*wind(10 - hour % 3, hour % 2, step_h=hour), message("swh", always(1 + hour % 4), step_h=hour)]
        if hour:
            span: list[list[Any]] = [["typeOfStatisticalProcessing", 2], ["stepRange", f"{hour - 1}-{hour}"]]
            made.append(message("gust", always(12 + 5 * (hour % 2)), before=peak, more=span))
    return made


WHOLE = read_grib(grib(*hours(6)))


@pytest.mark.parametrize("lost", range(len(WHOLE.fields)))
def test_losing_any_field_never_turns_a_value_into_another_one(lost: int) -> None:
    rest = GribFile(WHOLE.fields[:lost] + WHOLE.fields[lost + 1 :])

    whole, less = to_forecast(WHOLE), to_forecast(rest)

    for time in np.linspace(whole.at[0], whole.at[-1], 21):
        for name in whole.variables:
            before, after = (_at(time, each.at, each.variables[name]) for each in (whole, less))
            assert np.isnan(after) or after == pytest.approx(before), f"{name} at {time - RUN:.0f} s"
    unknown = [sum(int(np.isnan(values).sum()) for values in each.variables.values()) for each in (whole, less)]
    assert unknown[0] < unknown[1]


def _at(time: float, at: np.ndarray, values: np.ndarray) -> float:
    """Linear in time, NaN outside: what becomes of the row of times further up."""
    return float(np.interp(time, at, values[:, 0, 0], left=np.nan, right=np.nan))


def test_fields_on_another_grid_are_brought_onto_the_finest_one_and_said() -> None:
    coarse = message("swh", lambda lat, lon: lat + lon - 40, lat=(49, 51, 1), lon=(-6, -4, 1))

    found = forecast(*wind(3, 4), coarse)

    expected = found.lat_deg[:, None] + found.lon_deg[None, :] - 40
    np.testing.assert_allclose(found.variables["wave_height_m"][0], expected, atol=1e-4)
    assert "swh: on another grid, interpolated onto the finest one." in found.warnings


def test_the_oldest_run_counts_for_the_age_and_the_newest_for_the_values() -> None:
    older = [["dataTime", 600]]

    found = forecast(*wind(3, 4, step_h=0), *wind(9, 9, step_h=6, more=older), *wind(5, 5, step_h=7, more=older))

    assert found.issued_at == RUN - 6 * HOUR
    assert found.variables["wind_east_mps"][:, 0, 0].tolist() == pytest.approx([3, 5], abs=1e-4)
    assert "The fields come from 2 runs; the oldest one counts for the age." in found.warnings
    assert "Gave way to a newer run: 2 fields of an older one." in found.warnings


def test_two_fields_that_contradict_each_other_leave_the_time_not_known() -> None:
    found = forecast(*wind(3, 4), *wind(5, 4))

    assert np.isnan(found.variables["wind_east_mps"]).all()
    assert "There twice with different values, so not known: 1 field." in found.warnings


def test_members_of_an_ensemble_stay_apart_and_a_member_without_a_variable_does_not_know_it() -> None:
    members = [
        each for number in (0, 3)
        for each in wind(number, 1, before=MEMBER, more=[["perturbationNumber", number], ["typeOfEnsembleForecast", 3]])
    ]  # fmt: skip
    waves = message("swh", always(2), before=MEMBER, more=[["perturbationNumber", 3], ["typeOfEnsembleForecast", 3]])

    found = forecast(*members, waves)

    assert found.members == (0, 3)
    taken = sample(found, 50.2, -4.8)
    assert taken["wind_east_mps"].shape == (2, 1, 1)
    np.testing.assert_allclose(taken["wind_east_mps"].ravel(), [0, 3], atol=1e-5)
    np.testing.assert_allclose(taken["wave_height_m"].ravel(), [np.nan, 2], atol=1e-5)


def test_a_lone_forecast_beside_an_ensemble_is_left_out_and_said() -> None:
    member = wind(2, 1, before=MEMBER, more=[["perturbationNumber", 1], ["typeOfEnsembleForecast", 3]])

    found = forecast(*member, *wind(9, 9))

    assert found.members == (1,)
    assert first(found, "wind_east_mps") == pytest.approx(2)
    assert found.ignored[0] == "10u at heightAboveGround 10: outside the ensemble (1 field)"


def test_an_unbelievable_value_is_missing_and_said() -> None:
    found = forecast(message("swh", lambda _, lon: 31 if lon == -5 else 2))

    np.testing.assert_array_equal(np.isnan(found.variables["wave_height_m"][0]), [[True, False, False]] * 3)
    assert "Outside 0 to 30 m, so not known: 3 values of wave height." in found.warnings


@pytest.mark.parametrize("degrees", [-1.0, 361.0, 999.0])
def test_a_direction_off_the_compass_is_not_known(degrees: float) -> None:
    found = forecast(message("mwd", always(degrees)), message("swh", always(1)))

    assert np.isnan(found.variables["wave_from_east"]).all()


def test_a_coarse_grid_is_said() -> None:
    found = forecast(*wind(3, 4, lat=(49, 52, 1.5), lon=(-6, -3, 1.5)))

    assert "The grid is coarse, 1.5 degrees: local wind will not show." in found.warnings


def test_longitudes_counted_from_0_are_sampled_by_longitudes_west_of_greenwich() -> None:
    rising = message("prmsl", lambda _, lon: 100 * (1000 + lon - 354), lat=(50, 51, 1), lon=(354, 357, 1))

    assert sample(forecast(rising), 50.5, -4.5)["pressure_hpa"][0, 0] == pytest.approx(1001.5, abs=1e-3)


def test_a_forecast_that_would_grow_beyond_measure_is_refused_before_it_grows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("readiness.feeds.grib_forecast.MOST_NUMBERS", 2 * 2 * 9)
    small = [*wind(3, 4), *wind(3, 4, step_h=1)]

    assert len(forecast(*small).at) == 2
    with pytest.raises(BadInput, match=r"^This forecast would hold 54 numbers; ask for a smaller area\."):
        forecast(*small, *wind(3, 4, step_h=2))


REAL = [OUTSIDE / "grib"] if (OUTSIDE / "grib").is_dir() else []


@pytest.mark.parametrize("folder", REAL, ids=["real files"] * len(REAL))
def test_real_winds_of_two_files_make_one_forecast_and_a_reduced_grid_is_said_not_used(folder: Path) -> None:
    both = b"".join((folder / name).read_bytes() for name in ("10u_sfc.grib", "10v_sfc.grib"))

    found = to_forecast(read_grib(both))

    assert sample(found, 50, -10)["wind_east_mps"][0, 0] == pytest.approx(12.65677, abs=1e-5)
    with pytest.raises(BadInput, match="on a reduced_ll grid, which is read but not used"):
        to_forecast(read_grib((folder / "reduced_latlon_surface.grib2").read_bytes()))
