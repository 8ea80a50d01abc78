"""Named winds and seas by the printed tables; the sea on a stream by published and worked values."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from readiness.calc.sea_state import (
    GRAVITY_OF_LIMITS,
    SeaOnStream,
    beaufort,
    beaufort_of_knots,
    blocking_stream,
    breaking_steepness,
    category_limits,
    deep_water,
    middle_of_beaufort,
    sea_of_beaufort,
    sea_state_code,
    stream_to_steepness,
    wave_on_stream,
    wind_of_beaufort,
)
from readiness.calc.tidal_stream import components
from tests.published.read import half_a_unit, published
from vessel.units import GRAVITY, KNOT

FORCES = published("beaufort")


def meeting(hs_m: float, period_s: float, against_mps: float, gravity: float = GRAVITY_OF_LIMITS) -> SeaOnStream:
    """A sea out of the west on a stream that runs into it."""
    return wave_on_stream(hs_m, period_s, 270.0, -against_mps, 0.0, gravity_mps2=gravity)


@pytest.mark.parametrize("row", FORCES, ids=lambda row: row["force"])
def test_each_force_holds_its_printed_winds(row: dict[str, str]) -> None:
    force = float(row["force"])

    knots = [float(row[name]) for name in ("from_kn", "to_kn") if row[name]]
    speeds = [float(row[name]) for name in ("from_mps", "to_mps") if row[name]]
    assert [float(beaufort_of_knots(wind)) for wind in knots] == [force] * len(knots)
    assert [float(beaufort(wind)) for wind in speeds] == [force] * len(speeds)
    assert beaufort_of_knots(knots[0] - 0.001) == (force - 1 if force else pytest.approx(np.nan, nan_ok=True))


@pytest.mark.parametrize("row", FORCES, ids=lambda row: row["force"])
def test_each_force_has_its_printed_limits_and_waves(row: dict[str, str]) -> None:
    lowest, next_force = wind_of_beaufort(float(row["force"]))
    probable, greatest = sea_of_beaufort(float(row["force"]))

    assert lowest / KNOT == pytest.approx(float(row["from_kn"]))
    following = {int(other["force"]): float(other["from_kn"]) for other in FORCES}
    assert next_force / KNOT == pytest.approx(following.get(int(row["force"]) + 1, np.inf))
    assert probable == pytest.approx(float(row["probable_height_m"] or 0))
    empty = np.nan if row["force"] == "12" else 0.0
    assert greatest == pytest.approx(float(row["greatest_height_m"] or empty), nan_ok=True)


def test_the_middle_of_each_force_lies_in_it() -> None:
    forces = np.arange(1.0, 12.0)

    assert np.asarray(beaufort(middle_of_beaufort(forces))) == pytest.approx(forces)


@pytest.mark.parametrize("wind", [np.nan, -0.1])
def test_a_wind_that_is_not_known_has_no_force(wind: float) -> None:
    assert np.isnan(beaufort(wind))
    assert np.isnan(beaufort_of_knots(wind))


@pytest.mark.parametrize("force", [np.nan, -1.0, 13.0, 4.5])
def test_only_a_whole_force_has_limits(force: float) -> None:
    assert all(np.isnan(figure) for figure in (*wind_of_beaufort(force), *sea_of_beaufort(force)))


@pytest.mark.parametrize("row", published("sea_state_code"), ids=lambda row: row["code"])
def test_each_sea_has_its_printed_code(row: dict[str, str]) -> None:
    code = float(row["code"])

    assert not row["to_m"] or sea_state_code(float(row["to_m"])) == code
    assert not row["above_m"] or sea_state_code(float(row["above_m"]) + 0.001) == code
    assert np.isnan(sea_state_code(np.nan))


@pytest.mark.parametrize("row", published("design_category"), ids=lambda row: row["category"])
def test_a_design_category_has_its_printed_limits(row: dict[str, str]) -> None:
    assert category_limits(row["category"]) == (float(row["force"]), float(row["hs_m"]))  # type: ignore[arg-type]


def test_category_a_has_no_printed_height() -> None:
    force, height = category_limits("A")

    assert force > 8
    assert np.isnan(height)


@pytest.mark.parametrize("row", published("deep_water"), ids=lambda row: row["period_s"])
def test_a_wave_in_deep_water_is_as_long_and_fast_as_published(row: dict[str, str]) -> None:
    length, celerity = deep_water(float(row["period_s"]))

    assert length == pytest.approx(float(row["length_m"]), abs=half_a_unit(row["length_m"]))
    assert celerity / KNOT == pytest.approx(float(row["celerity_kn"]), abs=half_a_unit(row["celerity_kn"]))
    assert length == pytest.approx(celerity * float(row["period_s"]))


@pytest.mark.parametrize("row", published("blocking"), ids=lambda row: row["period_s"])
def test_a_stream_blocks_the_waves_at_the_published_rate(row: dict[str, str]) -> None:
    stream = blocking_stream(float(row["period_s"]))

    assert stream / KNOT == pytest.approx(float(row["stream_kn"]), abs=half_a_unit(row["stream_kn"]))


@pytest.mark.parametrize("row", published("wave_on_stream"), ids=lambda row: row["period_s"])
def test_a_sea_on_a_stream_is_the_published_one(row: dict[str, str]) -> None:
    period = float(row["period_s"])
    still, sea = (meeting(1.0, period, rate, GRAVITY) for rate in (0.0, float(row["against_mps"])))

    ratios = {
        "celerity_ratio": sea.celerity_mps / still.celerity_mps,
        "height_ratio": sea.hs_eff_m / still.hs_eff_m,
        "steepness_ratio": sea.steepness / still.steepness,
    }
    for name, ratio in ratios.items():
        assert ratio == pytest.approx(float(row[name]), abs=half_a_unit(row[name]))


@pytest.mark.parametrize(
    "row", published("wave_on_stream_knots"), ids=lambda row: f"{row['period_s']}s {row['against_kn']}kn"
)
def test_a_sea_of_one_metre_on_a_stream_is_the_worked_one(row: dict[str, str]) -> None:
    sea = meeting(1.0, float(row["period_s"]), float(row["against_kn"]) * KNOT)

    assert sea.k == pytest.approx(float(row["height_ratio"]), abs=half_a_unit(row["height_ratio"]))
    assert sea.steepness == pytest.approx(float(row["steepness"]), abs=half_a_unit(row["steepness"]))


def test_the_sea_in_the_narrows_of_the_worked_morning() -> None:
    sea = wave_on_stream(0.9, 4.5, 270.0, *components(270.0, 1.5 * KNOT))

    assert sea.k == pytest.approx(1.32, abs=0.005)
    assert sea.hs_eff_m == pytest.approx(1.19, abs=0.005)
    assert sea.steepness == pytest.approx(0.0492, abs=0.00005)


@pytest.mark.parametrize(("rate_kn", "limit_passed"), [(1.52, False), (1.54, True)])
def test_a_stream_of_one_and_a_half_knots_is_the_thinnest_margin(rate_kn: float, limit_passed: bool) -> None:
    sea = wave_on_stream(0.9, 4.5, 270.0, *components(270.0, rate_kn * KNOT))

    assert (sea.steepness >= 0.050) == limit_passed


def test_the_sea_of_the_worked_evening_after_the_stream_turned() -> None:
    sea = wave_on_stream(0.9, 4.5, 270.0, *components(270.0, 1.71 * KNOT))

    assert sea.hs_eff_m == pytest.approx(1.25, abs=0.005)
    assert sea.steepness == pytest.approx(0.0545, abs=0.0001)


@pytest.mark.parametrize("angle", [0.0, 45.0, 60.0, 80.0])
def test_only_the_part_of_the_stream_against_the_sea_counts(angle: float) -> None:
    aslant = wave_on_stream(1.0, 5.0, 200.0, *components(200.0 + angle, 1.5))

    straight = meeting(1.0, 5.0, 1.5 * np.cos(np.radians(angle)))
    assert aslant.hs_eff_m == pytest.approx(float(straight.hs_eff_m))
    assert aslant.steepness == pytest.approx(float(straight.steepness))


@given(st.floats(2, 15), st.floats(0, 0.999))
def test_the_wave_keeps_its_period_and_its_flux_of_energy(period: float, share: float) -> None:
    still = GRAVITY_OF_LIMITS * period / (2 * np.pi)
    against = share * still / 4
    sea = meeting(1.0, period, against)

    def out_of_step(celerity: float) -> float:
        """Angular frequency on the ground less what the wave has, of a wave with this celerity."""
        number = GRAVITY_OF_LIMITS / celerity**2
        return number * (celerity - against) - 2 * np.pi / period

    celerity = brentq(out_of_step, 2 * against + 1e-12, still * 1.001) if against else still
    assert sea.celerity_mps == pytest.approx(celerity, rel=1e-6)
    flux = sea.k**2 * (sea.celerity_mps / 2 - against) * sea.celerity_mps
    assert sea.k == 2.0 or flux == pytest.approx(still**2 / 2, rel=1e-9)


@pytest.mark.parametrize(("more", "blocked"), [(-1e-9, False), (0.0, True), (1e-9, True)])
def test_waves_are_blocked_from_a_quarter_of_their_celerity_on(more: float, blocked: bool) -> None:
    still = GRAVITY_OF_LIMITS * 5.0 / (2 * np.pi)

    sea = meeting(1.0, 5.0, still / 4 + more)

    assert bool(sea.blocked) == blocked
    assert sea.k == 2.0
    assert np.isnan([sea.celerity_mps, sea.length_m, sea.steepness]).all() == blocked


def test_a_stream_with_the_sea_leaves_it_as_it_is() -> None:
    sea = wave_on_stream(1.0, 5.0, 270.0, 2.0, 0.0)

    assert sea.k == 1.0
    assert sea.against_mps == 0.0
    assert sea.celerity_mps == pytest.approx(GRAVITY_OF_LIMITS * 5.0 / (2 * np.pi))


@pytest.mark.parametrize(
    ("hs", "period", "wave_from", "east"),
    [
        (np.nan, 5.0, 270.0, -1.0),
        (1.0, np.nan, 270.0, -1.0),
        (1.0, 5.0, np.nan, -1.0),
        (1.0, 5.0, 270.0, np.nan),
        (1.0, 0.0, 270.0, -1.0),
    ],
)
def test_whatever_is_not_known_leaves_the_sea_not_known(
    hs: float, period: float, wave_from: float, east: float
) -> None:
    sea = wave_on_stream(hs, period, wave_from, east, 0.0)

    assert np.isnan(sea.hs_eff_m)
    assert np.isnan(sea.steepness)
    assert not sea.blocked


def test_without_a_stream_the_height_stands_though_period_and_direction_are_not_known() -> None:
    sea = wave_on_stream(1.0, np.nan, np.nan, 0.0, 0.0)

    assert sea.hs_eff_m == 1.0
    assert np.isnan(sea.steepness)


@pytest.mark.parametrize(
    ("period", "wave_from", "east"), [(np.nan, np.nan, -1.0), (5.0, 270.0, np.nan), (3.0, 270.0, -9.0)]
)
def test_a_calm_is_a_calm_whatever_else_is_not_known(period: float, wave_from: float, east: float) -> None:
    sea = wave_on_stream(0.0, period, wave_from, east, 0.0)

    assert (float(sea.hs_eff_m), float(sea.steepness)) == (0.0, 0.0)


def test_one_sea_equals_the_element_of_many() -> None:
    rng = np.random.default_rng(3)
    inputs = [rng.uniform(*bounds, (4, 5)) for bounds in ((0, 3), (3, 9), (0, 360), (-2, 2), (-2, 2))]

    together = wave_on_stream(*inputs)

    for place in np.ndindex(4, 5):
        alone = wave_on_stream(*(values[place] for values in inputs))
        for name in ("k", "hs_eff_m", "celerity_mps", "length_m", "steepness"):
            assert getattr(alone, name) == pytest.approx(getattr(together, name)[place], nan_ok=True)


@pytest.mark.parametrize("row", published("breaking"), ids=lambda row: row["k_a"])
def test_a_wave_breaks_at_the_published_steepness(row: dict[str, str]) -> None:
    steepness = breaking_steepness()

    assert steepness == pytest.approx(float(row["height_over_length"]), abs=half_a_unit(row["height_over_length"]))
    assert np.pi * steepness == pytest.approx(float(row["k_a"]))


@pytest.mark.parametrize("row", published("beaufort_words")[1:-1], ids=lambda row: row["words"])
def test_the_middle_of_each_force_is_the_printed_one(row: dict[str, str]) -> None:
    assert middle_of_beaufort(float(row["force"])) == pytest.approx(float(row["middle_mps"]), abs=0.005)


@given(st.floats(0.3, 3), st.floats(3, 10), st.floats(0.01, 0.1))
def test_the_stream_that_makes_a_sea_so_steep_makes_it_just_so_steep(hs: float, period: float, wanted: float) -> None:
    stream = float(stream_to_steepness(hs, period, wanted))

    just_short, just_past = (meeting(hs, period, stream * (1 + by)) for by in (-1e-6, 1e-6))
    assert bool(just_past.blocked) or just_past.steepness >= wanted
    assert stream == 0 or (not just_short.blocked and just_short.steepness < wanted)


@pytest.mark.parametrize(("hs", "period", "wanted"), [(np.nan, 5.0, 0.05), (1.0, np.nan, 0.05), (1.0, 5.0, np.nan)])
def test_no_stream_is_told_for_a_sea_that_is_not_known(hs: float, period: float, wanted: float) -> None:
    assert np.isnan(stream_to_steepness(hs, period, wanted))


def test_the_narrows_of_the_worked_morning_are_three_hundredths_of_a_knot_short_of_the_limit() -> None:
    assert round(float(stream_to_steepness(0.9, 4.5, 0.050)) / KNOT, 2) == 1.53
