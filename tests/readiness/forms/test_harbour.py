import pytest

from readiness.forms.harbour import GateForm, HarbourForm, gate_initial, harbour_initial
from readiness.models import Gate, Harbour
from tests.factories.vessel import a_vessel
from vessel.forms.set_up import zone_choices
from vessel.models import Vessel

pytestmark = pytest.mark.django_db
TYPED = {"name": "Ledrick Quay", "lat_deg": "46 33 N", "lon_deg": "14 33.4 W", "zone": "Europe/Lisbon", "version": "0"}


@pytest.fixture
def vessel() -> Vessel:
    return a_vessel()


def harbour_form(vessel: Vessel, **typed: str) -> HarbourForm:
    return HarbourForm({**TYPED, **typed}, vessel=vessel)


def test_what_is_left_out_stays_not_known(vessel: Vessel) -> None:
    form = harbour_form(vessel)

    assert form.is_valid(), form.errors
    columns = form.columns()
    assert {columns[name] for name in ("charted_m", "familiar", "lit", "night_price", "tide_station")} == {None}
    assert form.cleaned_data["shelter"] == []
    assert columns["lat_deg"] == pytest.approx(46.55)


@pytest.mark.parametrize(
    ("typed", "sectors"),
    [
        ("all round", [(0.0, 360.0)]),
        ("All Round", [(0.0, 360.0)]),
        ("N to E", [(0.0, 90.0)]),
        ("225 to 360\nNNE through 90°", [(225.0, 360.0), (22.5, 90.0)]),
        ("225-360", [(225.0, 360.0)]),
        ("\n \n", []),
    ],
)
def test_shelter_is_read_a_stretch_of_wind_a_line(
    vessel: Vessel, typed: str, sectors: list[tuple[float, float]]
) -> None:
    form = harbour_form(vessel, shelter=typed)

    assert form.is_valid(), form.errors
    assert form.cleaned_data["shelter"] == sectors


@pytest.mark.parametrize("typed", ["north", "N", "N to", "361 to 20", "N to E to S", "10 to 400", "N to up"])
def test_what_is_no_stretch_of_wind_is_told(vessel: Vessel, typed: str) -> None:
    form = harbour_form(vessel, shelter=typed)

    assert "is no stretch of wind" in form.errors["shelter"][0]


@pytest.mark.parametrize(("typed", "kept"), [("yes", True), ("no", False), ("", None)])
def test_yes_no_and_not_known_are_three_answers(vessel: Vessel, typed: str, kept: bool | None) -> None:
    form = harbour_form(vessel, lit=typed)

    assert form.is_valid()
    assert form.columns()["lit"] is kept


def test_a_harbour_shown_in_its_form_and_sent_back_is_the_same(vessel: Vessel) -> None:
    row = Harbour.objects.create(
        vessel=vessel, key="thole", name="Thole Bight", zone="Europe/Lisbon", lat_deg=46.5, lon_deg=-14.0321,
        charted_m=-0.9, familiar=False, lit=True,
    )  # fmt: skip
    row.shelter_sectors.create(from_deg=0, to_deg=90)
    shown = HarbourForm(vessel=vessel, initial=harbour_initial(row))

    typed = {name: shown[name].value() or "" for name in shown.fields}
    sent = HarbourForm(typed, vessel=vessel, initial=harbour_initial(row))

    assert sent.is_valid(), sent.errors
    columns = sent.columns()
    assert {name: columns[name] for name in ("name", "charted_m", "familiar", "lit")} == {
        "name": "Thole Bight", "charted_m": -0.9, "familiar": False, "lit": True,
    }  # fmt: skip
    assert columns["lon_deg"] == row.lon_deg
    assert sent.cleaned_data["shelter"] == [(0.0, 90.0)]


def test_a_gate_is_kept_in_seconds_and_metres_a_second(vessel: Vessel) -> None:
    form = GateForm(
        {"name": "Lock", "kind": "lock", "before_s": "3", "after_s": "150 min", "last_entry_s": "15", "version": "0",
         "keeps_hours": "yes", "opens_local": "08:30", "closes_local": "20:00", "most_rate_mps": "2 kn", "zero": ""},
        vessel=vessel,
    )  # fmt: skip

    assert form.is_valid(), form.errors
    columns = form.columns()
    assert (columns["before_s"], columns["after_s"], columns["last_entry_s"]) == (10800.0, 9000.0, 900.0)
    assert (columns["opens_local_s"], columns["closes_local_s"]) == (30600.0, 72000.0)
    assert columns["most_rate_mps"] == pytest.approx(1.0289, abs=1e-4)
    assert (columns["zero"], columns["fixed"], columns["hands"]) == (None, None, None)


def test_a_gate_shown_in_its_form_and_sent_back_is_the_same(vessel: Vessel) -> None:
    harbour = Harbour.objects.create(vessel=vessel, key="h", name="H", zone="UTC", lat_deg=46.5, lon_deg=-14.0)
    row = Gate.objects.create(
        vessel=vessel, harbour=harbour, key="lock", name="Lock", kind="lock", before_s=10800.0, after_s=7200.0,
        keeps_hours=True, opens_local_s=30600.0, closes_local_s=72000.0, last_entry_s=900.0, hands=0, fixed=False,
        wait_place=harbour, level_m=-0.6, zero="chart datum", most_rate_mps=1.0,
    )  # fmt: skip
    shown = GateForm(vessel=vessel, initial=gate_initial(row))

    values = {name: shown[name].value() for name in shown.fields}
    typed = {name: "" if value is None else value for name, value in values.items()}
    sent = GateForm(typed, vessel=vessel, initial=gate_initial(row))

    assert sent.is_valid(), sent.errors
    for name, value in sent.columns().items():
        assert value == getattr(row, name), name


def test_things_of_another_vessel_are_not_offered(vessel: Vessel) -> None:
    other = a_vessel()
    Harbour.objects.create(vessel=other, key="far", name="Far", zone="UTC", lat_deg=1, lon_deg=1)

    field = GateForm(vessel=vessel).fields["wait_place"]

    assert [label for _, label in field.choices] == ["not known"]  # type: ignore[attr-defined]


def test_the_clocks_used_aboard_are_offered_first_and_every_other_once(vessel: Vessel) -> None:
    vessel.home_zone = "Europe/Lisbon"
    vessel.save()

    choices = HarbourForm(vessel=vessel).fields["zone"].choices  # type: ignore[attr-defined]

    assert [name for name, _ in choices[:4]] == ["", "UTC", "Used aboard", "Europe"]
    assert choices[2][1] == [("Europe/Lisbon", "Europe/Lisbon")]
    every = [zone for _, part in choices if isinstance(part, list) for zone, _ in part]
    assert len(every) == len(set(every)) > 300


def test_a_vessel_without_a_home_is_offered_every_part_of_the_world(vessel: Vessel) -> None:
    names = [name for name, _ in zone_choices()]

    assert names[:3] == ["", "UTC", "Africa"]
    assert "Used aboard" not in names
