"""What is typed of speed, fuel and seas: units, limits, what may stay empty, and the sentence at the field."""

from datetime import UTC, datetime

import pytest

from readiness.forms.speed import FuelUseForm, SeaSpeedForm, SpeedPointForm
from tests.factories.vessel import SOUND, a_vessel
from vessel.models import SpeedPoint, Vessel
from vessel.units import KNOT

pytestmark = pytest.mark.django_db
SPEED = {"version": "0", "rpm": "1800", "speed_mps": "7 kn", "burn_l_per_h": "9 L/h"}
SEA = {"version": "0", "height_m": "1 m", "ahead": "90 %", "abeam": "96", "astern": "100%"}
RUN = {
    "ended_at": "2027-05-14T17:00", "from_engine_hours": "1204.5", "to_engine_hours": "1213.5 h", "used_l": "82 L",
    "mean_rpm": "1800 rpm",
}  # fmt: skip


@pytest.fixture
def vessel() -> Vessel:
    return a_vessel()


def test_a_speed_is_read_with_its_units() -> None:
    form = SpeedPointForm(SPEED)

    assert form.is_valid(), form.errors
    assert form.columns() == {
        "rpm": 1800, "speed_mps": pytest.approx(7 * KNOT), "burn_l_per_h": 9.0, "measured_on": None, "note": "",
    }  # fmt: skip


def test_fuel_left_out_stays_not_known() -> None:
    form = SpeedPointForm({**SPEED, "burn_l_per_h": ""})

    assert form.is_valid(), form.errors
    assert form.columns()["burn_l_per_h"] is None


@pytest.mark.parametrize(("typed", "rpm"), [("1", 1), ("1800 RPM", 1800), (" 2200/min ", 2200), ("99999", 99_999)])
def test_an_engine_speed_is_a_whole_number(typed: str, rpm: int) -> None:
    form = SpeedPointForm({**SPEED, "rpm": typed})

    assert form.is_valid(), form.errors
    assert form.columns()["rpm"] == rpm


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        ("rpm", "0", "“0” is no engine speed. Write a whole number, such as 1800 rpm."),
        ("rpm", "-5", "is no engine speed"),
        ("rpm", "1,800", "is no engine speed"),
        ("rpm", "1800.5", "is no engine speed"),
        ("rpm", "100000", "is no engine speed"),
        ("rpm", "", "Write the engine speed, such as 1800 rpm."),
        ("speed_mps", "0", "“0” must be above 0 kn."),
        ("speed_mps", "-7 kn", "must be above 0 kn."),
        ("speed_mps", "7 L", "is not a quantity in kn"),
        ("speed_mps", "", "Write the speed, such as 7 kn."),
        ("burn_l_per_h", "0 L/h", "must be above 0 L/h."),
        ("burn_l_per_h", "nan", "is not a quantity"),
        ("measured_on", "soon", "Enter a valid date."),
    ],
)
def test_what_cannot_be_of_a_speed_is_told_at_its_field(field: str, typed: str, told: str) -> None:
    form = SpeedPointForm({**SPEED, field: typed})

    assert list(form.errors) == [field]
    assert told in form.errors[field][0]


def test_the_shares_kept_are_read_in_per_cent() -> None:
    form = SeaSpeedForm(SEA)

    assert form.is_valid(), form.errors
    assert form.columns() == pytest.approx({"height_m": 1.0, "ahead": 0.9, "abeam": 0.96, "astern": 1.0})


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        ("ahead", "0.9", "“0.9” is not from 1 to 100 % of her speed. Write it like 90 %."),
        ("ahead", "0.99", "is not from 1 to 100 %"),
        ("abeam", "100.1 %", "is not from 1 to 100 %"),
        ("astern", "-90", "is not from 1 to 100 %"),
        ("astern", "", "Write the share kept, such as 100 %."),
        ("height_m", "0", "“0” must be above 0 m."),
        ("height_m", "", "Write the height, such as 1 m."),
    ],
)
def test_what_cannot_be_of_a_sea_is_told_at_its_field(field: str, typed: str, told: str) -> None:
    form = SeaSpeedForm({**SEA, field: typed})

    assert list(form.errors) == [field]
    assert told in form.errors[field][0]


@pytest.mark.parametrize(("typed", "share"), [("1", 0.01), ("1 %", 0.01), ("100", 1.0)])
def test_a_share_may_lie_on_either_limit(typed: str, share: float) -> None:
    form = SeaSpeedForm({**SEA, "ahead": typed})

    assert form.is_valid(), form.errors
    assert form.columns()["ahead"] == pytest.approx(share)


def test_a_figure_nobody_touched_is_not_rounded(vessel: Vessel) -> None:
    row: SpeedPoint = SOUND[SpeedPoint](vessel=vessel, speed_mps=3.123456789, burn_l_per_h=8.123456789)
    shown = SpeedPointForm(row=row)
    typed = {name: shown[name].value() or "" for name in shown.fields}

    form = SpeedPointForm({**typed, "note": "Clean"}, row=row)

    assert form.is_valid(), form.errors
    assert typed["speed_mps"] == "6.07151 kn"
    assert (form.columns()["speed_mps"], form.columns()["burn_l_per_h"]) == (3.123456789, 8.123456789)


def test_a_run_is_read_by_the_clock_of_her_home(vessel: Vessel) -> None:
    form = FuelUseForm(RUN, vessel=vessel)

    assert form.is_valid(), form.errors
    assert form.columns() == {
        "ended_at": datetime(2027, 5, 14, 16, 0, tzinfo=UTC), "from_engine_hours": 1204.5, "to_engine_hours": 1213.5,
        "used_l": 82.0, "mean_rpm": 1800, "mean_speed_mps": None, "note": "", "is_so": False,
    }  # fmt: skip


def test_a_mean_speed_alone_is_enough_of_a_run(vessel: Vessel) -> None:
    form = FuelUseForm({**RUN, "mean_rpm": "", "mean_speed_mps": "7"}, vessel=vessel)

    assert form.is_valid(), form.errors
    assert form.columns()["mean_speed_mps"] == pytest.approx(7 * KNOT)


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        ("ended_at", "", "Say when the run ended."),
        ("from_engine_hours", "-1", "must be at least 0 h."),
        ("to_engine_hours", "1204.5", "The meter must rise over a run: this is not above 1204.5 h."),
        ("to_engine_hours", "1200", "The meter must rise over a run"),
        ("used_l", "0", "must be above 0 L."),
        ("used_l", "20 gal", "which gal? Write UK gal or US gal."),
        ("mean_rpm", "", "Give this or the mean speed: without one the run tells nothing of the table."),
        ("mean_rpm", "fast", "is no engine speed"),
        ("mean_speed_mps", "0 kn", "must be above 0 kn."),
    ],
)
def test_what_cannot_be_of_a_run_is_told_at_its_field(vessel: Vessel, field: str, typed: str, told: str) -> None:
    form = FuelUseForm({**RUN, field: typed}, vessel=vessel)

    assert list(form.errors) == [field]
    assert told in form.errors[field][0]
