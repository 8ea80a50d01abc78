from datetime import UTC, datetime

import numpy as np
import pytest

from readiness.calc.tide import Harmonics
from readiness.calc.tide_constituent_table import USUAL
from readiness.feeds.tide_fit import SHORTEST, fit_series
from readiness.feeds.tide_series import SeriesFile, read_series
from readiness.feeds.tide_station import StationNotes
from tests.factories.tide import epoch, even, height_at, published_harmonics, published_rows
from vessel.errors import BadInput
from vessel.units import DAY, FOOT, HOUR, MINUTE, Array

START = epoch("2027-03-01T00:00Z")


def series(at: Array, height: Array) -> SeriesFile:
    return SeriesFile(at, height, "MLLW", "UTC", "m", at.size, StationNotes(name="Station"))


def observed(station: str, start: str, days: int, noise_m: float, step_s: float = HOUR) -> SeriesFile:
    """Heights of a published tide with made-up noise."""
    at = even(epoch(start), int(days * DAY / step_s), step_s)
    noise = noise_m * np.random.default_rng(7).standard_normal(at.size)
    return series(at, height_at(published_harmonics(station), at) + noise)


def test_a_year_of_noisy_heights_gives_the_published_constants_back() -> None:
    true = published_harmonics("san_francisco")

    file = fit_series(observed("san_francisco", "2024-03-01T00:00Z", 366, 0.05))

    found = file.harmonics
    assert file.fit is not None
    assert file.fit.not_fitted == ("S6", "2SM2")  # the library has no such lines
    assert file.fit.inferred == ()
    assert found.mean_level_m == pytest.approx(true.mean_level_m, abs=0.002)
    assert file.fit.standard_deviation_m == pytest.approx(0.05, abs=0.002)
    for name in ("M2", "S2", "N2", "K2", "K1", "O1", "P1", "Q1", "M4"):
        place, there = found.constituents.index(name), true.constituents.index(name)
        wave, published = (
            each.amplitude_m[i] * np.exp(1j * np.radians(each.phase_utc_deg[i]))
            for each, i in ((found, place), (true, there))
        )
        assert abs(wave - published) < 0.003, name


def test_the_doubt_of_each_constant_covers_its_error_about_as_often_as_it_says() -> None:
    true = published_harmonics("san_francisco")

    file = fit_series(observed("san_francisco", "2024-03-01T00:00Z", 366, 0.05))

    assert file.fit is not None
    doubts = {doubt.name: doubt.amplitude_m for doubt in file.fit.constants}
    shared = [name for name in true.constituents if name in doubts]
    within = [
        abs(file.harmonics.amplitude_m[file.harmonics.constituents.index(name)] - size) <= doubts[name]
        for name, size in zip(true.constituents, true.amplitude_m.tolist(), strict=True)
        if name in shared and size > 0
    ]
    assert len(within) >= 20
    assert np.mean(within) >= 0.8


def test_a_month_foretells_the_official_heights_of_another_within_what_a_month_can() -> None:
    """The seasons cannot be in a month: so the mean is set aside, and what is left is the tide itself."""
    rows = published_rows("tide_heights_san_francisco.csv")
    at = np.array([epoch(row["utc"]) for row in rows])
    official = np.array([float(row["height_ft"]) * FOOT for row in rows])

    file = fit_series(observed("san_francisco", "2025-05-01T00:00Z", 31, 0.02))

    assert file.fit is not None
    assert set(file.fit.inferred) >= {"P1", "K2"}
    apart = height_at(file.harmonics, at) - official
    assert (apart - apart.mean()).std() < 0.06
    assert np.abs(apart).max() < 0.25
    assert official.std() > 0.4


def test_a_month_of_a_tide_of_94_constituents_foretells_the_official_heights_of_another() -> None:
    rows = published_rows("tide_heights_vlissingen.csv")
    at = np.array([epoch(row["utc"]) for row in rows])
    official = np.array([float(row["height_cm"]) for row in rows]) / 100

    file = fit_series(observed("vlissingen", "2019-02-01T00:00Z", 31, 0.02, 10 * MINUTE))

    apart = height_at(file.harmonics, at) - official
    assert (apart - apart.mean()).std() < 0.3
    assert official.std() > 1.2


def test_without_the_neighbours_taken_along_a_month_would_foretell_worse() -> None:
    rows = published_rows("tide_heights_san_francisco.csv")
    at = np.array([epoch(row["utc"]) for row in rows])
    official = np.array([float(row["height_ft"]) * FOOT for row in rows])
    file = fit_series(observed("san_francisco", "2025-05-01T00:00Z", 31, 0.02))
    assert file.fit is not None
    own = [i for i, name in enumerate(file.harmonics.constituents) if name not in file.fit.inferred]
    each = file.harmonics
    bare = Harmonics(
        tuple(each.constituents[i] for i in own), each.amplitude_m[own], each.phase_utc_deg[own],
        each.speed_deg_per_h[own], each.mean_level_m,
    )  # fmt: skip

    with_neighbours, without = (height_at(one, at) - official for one in (each, bare))

    assert with_neighbours.std() < 0.7 * without.std()


def test_what_is_left_over_is_told_with_its_largest_and_when() -> None:
    seen = observed("jacksonville_beach", "2026-01-01T00:00Z", 60, 0.03)
    surge = seen.height_m.copy()
    surge[700] += 0.9

    file = fit_series(series(seen.at, surge))

    assert file.fit is not None
    assert file.fit.largest_m == pytest.approx(0.9, abs=0.15)
    assert file.fit.largest_at.timestamp() == seen.at[700]
    assert file.fit.doubt_m == 2 * file.fit.standard_deviation_m
    assert 0.03 < file.fit.within_95_m < 0.09
    assert (file.fit.count, file.fit.observed_s) == (60 * 24, 60 * DAY - HOUR)
    assert len(file.fit.constants) == len(file.harmonics.constituents)
    assert set(file.fit.not_fitted) == set(USUAL) - set(file.harmonics.constituents) - {"2MK3"}
    assert "MO3" in file.harmonics.constituents  # the other name of 2MK3


def test_gaps_are_left_out_whether_a_row_is_blank_or_missing() -> None:
    seen = observed("jacksonville_beach", "2026-01-01T00:00Z", 80, 0.0)
    blank = seen.height_m.copy()
    blank[300:500] = np.nan
    there = np.isfinite(blank)

    by_blank, by_missing = fit_series(series(seen.at, blank)), fit_series(series(seen.at[there], blank[there]))

    assert by_blank.fit is not None
    assert by_missing.fit is not None
    assert by_blank.fit.count == by_missing.fit.count == 80 * 24 - 200
    assert by_blank.fit.observed_s == by_missing.fit.observed_s == 80 * DAY - 202 * HOUR
    np.testing.assert_allclose(by_blank.harmonics.amplitude_m, by_missing.harmonics.amplitude_m)


@pytest.mark.parametrize(("hours", "refused"), [(29 * 24, False), (29 * 24 - 1, True)])
def test_the_shortest_series_covers_from_new_moon_to_new_moon(hours: int, refused: bool) -> None:
    at = even(START, hours + 1, HOUR)
    seen = series(at, height_at(published_harmonics("san_francisco"), at))
    assert (at[-1] - at[0] < SHORTEST) == refused

    if refused:
        with pytest.raises(BadInput, match=r"cover 29\.0 days, .* a fit needs 29 days\. Nothing was taken in"):
            fit_series(seen)
    else:
        assert fit_series(seen).fit is not None


def test_heights_too_far_apart_to_see_the_tide_are_no_series() -> None:
    at = even(START, 400, 6 * HOUR)

    with pytest.raises(BadInput, match=r"cover 0\.0 days"):
        fit_series(series(at, np.ones(400)))


def test_a_sheet_of_observations_is_read_with_its_unit_its_datum_and_its_gaps() -> None:
    text = "time_utcplus1,height_cm_above_nap\n2027-03-01 01:00,123\n2027-03-01 02:00,\n2027-03-01 03:00,-20\n"

    file = read_series(text.encode(), {"name": "Station"})

    assert file.at.tolist() == [START, START + HOUR, START + 2 * HOUR]
    assert file.height_m[[0, 2]].tolist() == [1.23, -0.2]
    assert np.isnan(file.height_m[1])
    assert (file.datum, file.unit, file.rows) == ("NAP", "cm", 3)


def test_a_fitted_file_keeps_what_the_station_file_says() -> None:
    at = even(START, 40 * 24, HOUR)
    heights = zip(at.tolist(), height_at(published_harmonics("smith_shoal"), at).tolist(), strict=True)
    text = "time_utc,height_m\n" + "".join(
        f"{datetime.fromtimestamp(when, UTC):%Y-%m-%dT%H:%M}Z,{height:.3f}\n" for when, height in heights
    )

    file = fit_series(
        read_series(text.encode(), {"name": "Shoal", "datum": "MLLW", "source": "a gauge", "timezone": "UTC"})
    )

    assert (file.name, file.datum, file.source, file.harbour_zone) == ("Shoal", "MLLW", "a gauge", "UTC")
    assert file.form == pytest.approx(0.56, abs=0.05)
    assert file.warnings == ()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("time_utc,height\n2027-03-01 00:00,1\n", "Are these metres, centimetres or feet"),
        ("time,height_m\n2027-03-01 00:00,1\n", "The times have no zone"),
        ("time_utc,height_m\n2027-03-01 00:00,99\n", "A height of 99.0 m is no tide"),
        ("time_utc,height_m\n2027-03-01 01:00,1\n2027-03-01 00:00,1\n", "does not come after the time above it"),
        ("time_utc,height_m\n2027-03-01 01:00,1\n", "The observations cover 0.0 days"),
    ],
)
def test_observations_that_cannot_be_fitted_are_refused_in_one_sentence(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        fit_series(read_series(text.encode()))

    assert sentence in str(refusal.value)
