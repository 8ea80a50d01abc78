import numpy as np
import pytest

from readiness.calc.tide import (
    LONGEST_DIURNAL_GAP,
    LONGEST_GAP,
    Harmonics,
    form_number,
    longest_gap_of,
    pressure_correction,
    tide_type,
)
from tests.factories.tide import outside_files, outside_harmonics, published_harmonics, published_rows


@pytest.mark.parametrize(
    ("pressure", "metres"), [(1013.0, 0.0), (1012.0, 0.0), (950.0, 0.0), (1013.1, -0.001), (1033.0, -0.20)]
)
def test_high_pressure_takes_a_centimetre_a_hectopascal_and_low_pressure_is_not_credited(
    pressure: float, metres: float
) -> None:
    assert pressure_correction(pressure) == pytest.approx(metres)


def test_pressure_not_known_leaves_the_correction_not_known() -> None:
    correction = np.asarray(pressure_correction(np.array([1020.0, np.nan])))

    assert correction[0] == pytest.approx(-0.07)
    assert np.isnan(correction[1])


@pytest.mark.parametrize(
    "row", [row for row in published_rows("tide_stations.csv") if row["form_number"]], ids=lambda row: row["station"]
)
def test_form_number_is_the_published_one(row: dict[str, str]) -> None:
    assert form_number(published_harmonics(row["station"])) == pytest.approx(float(row["form_number"]), abs=0.0051)


@pytest.mark.parametrize(
    ("form", "words"),
    [
        (0.249, "semidiurnal"),
        (0.25, "mixed, mainly semidiurnal"),
        (1.499, "mixed, mainly semidiurnal"),
        (1.5, "mixed, mainly diurnal"),
        (2.999, "mixed, mainly diurnal"),
        (3.0, "diurnal"),
        (6.78, "diurnal"),
        (float("nan"), "not known"),
    ],
)
def test_type_of_tide_is_named_on_each_side_of_each_limit(form: float, words: str) -> None:
    assert tide_type(form) == words


@pytest.mark.parametrize("missing", ["K1", "O1", "M2", "S2"])
def test_form_number_is_not_known_without_all_four_constituents(missing: str) -> None:
    names = tuple(name for name in ("K1", "O1", "M2", "S2") if name != missing)

    assert np.isnan(form_number(Harmonics(names, np.ones(3), np.zeros(3), np.full(3, np.nan), 0.0)))


def test_only_a_tide_known_to_be_mainly_diurnal_gets_the_longer_gap() -> None:
    assert longest_gap_of(1.499) == LONGEST_GAP
    assert longest_gap_of(1.5) == LONGEST_DIURNAL_GAP
    assert longest_gap_of(float("nan")) == LONGEST_GAP


@pytest.mark.parametrize("file", outside_files("87*_harmonics.csv"), ids=lambda path: path.name)
def test_every_station_present_is_semidiurnal_mixed_or_diurnal_as_described(file) -> None:  # type: ignore[no-untyped-def] # noqa: ANN001
    described = {"8720291": 0.21, "8729108": 6.78, "8724671": 0.56, "8726724": 0.90, "8720832": 0.15}

    assert form_number(outside_harmonics(file)) == pytest.approx(described[file.name[:7]], abs=0.0051)
