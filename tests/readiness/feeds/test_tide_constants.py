from collections.abc import Mapping

import numpy as np
import pytest

from readiness.feeds.tide_table import StationFile, read_constants
from tests.factories.tide import PUBLISHED
from vessel.errors import BadInput
from vessel.units import FOOT

HEAD = "constituent,amplitude_m,phase_utc_deg\n"
OSTREL = {"name": "Ostrel Haven", "datum": "chart datum", "mean_level_m": 2.6, "timezone": "UTC"}


def constants(text: str, station: Mapping[str, object] | None = None) -> StationFile:
    return read_constants(text.encode(), station)


def test_constants_are_read_with_level_datum_zone_and_unit() -> None:
    file = constants(HEAD + "M2,1.45,153.2\nS2,0.5,201.7\n", OSTREL)

    assert file.harmonics.constituents == ("M2", "S2")
    assert file.harmonics.amplitude_m.tolist() == [1.45, 0.5]
    assert file.harmonics.phase_utc_deg.tolist() == [153.2, 201.7]
    assert np.isnan(file.harmonics.speed_deg_per_h).all()
    assert (file.harmonics.mean_level_m, file.datum, file.zone, file.unit, file.rows) == (
        2.6,
        "chart datum",
        "UTC",
        "m",
        2,
    )
    assert file.warnings == ()


@pytest.mark.parametrize(("unit", "factor"), [("m", 1.0), ("cm", 0.01), ("mm", 0.001), ("ft", FOOT)])
def test_amplitudes_come_in_the_unit_of_their_header(unit: str, factor: float) -> None:
    file = constants(f"name;amplitude_{unit};phase_utc_deg\nM2;1,5;10,0\n")

    assert file.harmonics.amplitude_m[0] == pytest.approx(1.5 * factor)
    assert file.harmonics.phase_utc_deg[0] == 10.0


def test_phases_on_another_zone_are_turned_by_the_speed_of_each_constituent() -> None:
    file = constants("constituent,amplitude_m,phase_deg_MET_UTCplus1\nS2,1,40\nM2,1,10\n", OSTREL)

    np.testing.assert_allclose(file.harmonics.phase_utc_deg, [10.0, 341.015896], atol=1e-5)
    assert file.zone == "UTC+01:00"


def test_phases_on_local_time_take_the_standard_time_of_the_stations_zone() -> None:
    """Published side by side on UTC and on local standard time."""
    both = (PUBLISHED / "tide_constants_jacksonville_beach.csv").read_text("utf-8")
    local = both.replace("phase_utc_deg", "unused").encode()

    on_utc = read_constants(both.encode())
    turned = read_constants(local, {"timezone": "America/New_York", "mean_level_m": 0.776, "datum": "MLLW"})

    apart = (turned.harmonics.phase_utc_deg - on_utc.harmonics.phase_utc_deg + 180) % 360 - 180
    assert np.abs(apart[on_utc.harmonics.amplitude_m > 0]).max() < 0.11
    assert turned.warnings == ("The phases were taken to be on standard time, UTC-5 h, all year.",)
    assert on_utc.ignored == ("phase_local_deg",)


def test_the_level_may_stand_as_a_row_of_its_own() -> None:
    file = constants(HEAD + "Z0,2.6,0\nM2,1.45,10\n")

    assert file.harmonics.mean_level_m == 2.6
    assert file.harmonics.constituents == ("M2",)
    assert file.warnings == ("The datum of the heights is not stated.",)


def test_no_level_is_not_known_and_said() -> None:
    file = constants(HEAD + "M2,1.45,10\n")

    assert np.isnan(file.harmonics.mean_level_m)
    assert "mean level" in file.warnings[0]


def test_a_name_in_no_table_needs_a_speed_and_keeps_it() -> None:
    head = "constituent,amplitude_m,phase_utc_deg,speed_deg_per_h\n"

    assert constants(head + "SEICHE,0.1,0,200\nM2,1,0,\n").harmonics.speed_deg_per_h[0] == 200.0
    with pytest.raises(BadInput, match="Line 2, column constituent: 'SEICHE' is not in the tables"):
        constants(HEAD + "SEICHE,0.1,0\n")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (HEAD + "M2,1,10\nm2,1,10\n", "Line 3, column constituent: 'M2' stands in line 2 already."),
        (HEAD + "LAM2,1,10\nLABDA2,1,10\n", "Line 3, column constituent: 'LABDA2' stands in line 2 already."),
        (HEAD + ",1,10\n", "Line 2, column constituent: There is no name of a constituent."),
        (HEAD + "M2,,10\n", "Line 2, column amplitude_m: There is no number."),
        (HEAD + "M2,1,\n", "Line 2, column phase_utc_deg: There is no number."),
        (HEAD + "M2,-0.1,10\n", "Line 2, column amplitude_m: An amplitude of -0.1 m is no tide; is the unit right?"),
        (HEAD + "M2,20.1,10\n", "Line 2, column amplitude_m: An amplitude of 20.1 m is no tide; is the unit right?"),
        (HEAD + "M2,1,360.5\n", "Line 2, column phase_utc_deg: A phase of 360.5 degrees lies outside -360 to 360."),
        (HEAD + "Z0,1,0\n", "There is no constituent in the file."),
        (HEAD + "Z0,1,5\nM2,1,1\n", "Line 2: A mean level stands once, with phase 0 and within 100 m."),
        (HEAD + "Z0,1,0\nA0,1,0\nM2,1,1\n", "Line 2: A mean level stands once, with phase 0 and within 100 m."),
        (
            "constituent,amplitude_m,phase_utc_deg,speed_deg_per_h\nM2,1,10,30\n",
            "Line 2, column speed_deg_per_h: M2 goes 28.984104 deg/h by the tables, not 30.",
        ),
        (
            "constituent,amplitude_m,phase_utc_deg,speed_deg_per_h\nX,1,10,0\n",
            "Line 2, column speed_deg_per_h: A speed of 0 deg/h is no tide.",
        ),
        (
            "constituent,amplitude_m,phase_local_deg\nM2,1,10\n",
            (
                "Line 1, column phase_local_deg: Which zone are the phases on?"
                " Head the column phase_utc_deg, or give the station file a timezone."
            ),
        ),
    ],
)
def test_constants_that_are_wrong_are_refused_with_line_and_column(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        constants(text)

    assert str(refusal.value) == f"{sentence} Nothing was taken in."


def test_a_level_in_both_places_must_agree() -> None:
    assert constants(HEAD + "Z0,2.6,0\nM2,1,1\n", OSTREL).harmonics.mean_level_m == 2.6
    with pytest.raises(BadInput, match=r"Line 2: The mean level is 2.5 m here and 2.6 m in the station file."):
        constants(HEAD + "Z0,2.5,0\nM2,1,1\n", OSTREL)
