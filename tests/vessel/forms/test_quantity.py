import pytest
from django import forms

from vessel.forms.quantity import AngleField, QuantityField, as_typed
from vessel.units import HOUR, KNOT


class TypedForm(forms.Form):
    depth = QuantityField(unit="m", required=False)
    before = QuantityField(unit="h", per=HOUR, least=0, required=False)
    rate = QuantityField(unit="kn", per=KNOT, required=False)
    latitude = AngleField(axis="latitude", required=False)


@pytest.mark.parametrize(
    ("name", "typed", "value"),
    [
        ("depth", "2.2", 2.2),
        ("depth", "-0.9 m", -0.9),
        ("depth", "10 ft", 3.048),
        ("before", "2 1/2", 9000.0),
        ("before", "150 min", 9000.0),
        ("before", "0", 0.0),
        ("rate", "2", 2 * KNOT),
        ("latitude", "46 30 N", 46.5),
        ("depth", "", None),
        ("latitude", " ", None),
    ],
)
def test_what_is_typed_is_kept_in_si_and_empty_is_not_known(name: str, typed: str, value: float | None) -> None:
    form = TypedForm({name: typed})

    assert form.is_valid()
    assert form.cleaned_data[name] == (value if value is None else pytest.approx(value))


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("depth", "deep", "is not a quantity"),
        ("depth", "3 l", "is not a quantity in m"),
        ("depth", "2 mi", "which mi?"),
        ("before", "-1", "must be at least 0 h"),
        ("latitude", "14 W", "ends in N or S"),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field(name: str, typed: str, said: str) -> None:
    form = TypedForm({name: typed})

    assert not form.is_valid()
    assert said in form.errors[name][0]


@pytest.mark.parametrize(
    ("name", "value", "written"),
    [("depth", 2.2, "2.2 m"), ("before", 9000.0, "2.5 h"), ("latitude", 46.5, "46°30.00′ N"), ("depth", None, None)],
)
def test_a_kept_number_is_shown_as_somebody_would_type_it(name: str, value: float | None, written: str | None) -> None:
    shown = TypedForm(initial={name: value})[name].value()

    assert shown == written


def test_what_is_shown_is_read_back() -> None:
    first = TypedForm(initial={"depth": 2.25, "before": 4500.0, "rate": 1.75 * KNOT, "latitude": 46.5})
    again = TypedForm({name: first[name].value() for name in first.fields})

    assert again.is_valid()
    assert again.cleaned_data == pytest.approx({"depth": 2.25, "before": 4500.0, "rate": 1.75 * KNOT, "latitude": 46.5})


def test_a_number_nobody_touched_stays_exactly_what_it_was() -> None:
    held = {"rate": 1.0, "latitude": 46.50812345, "depth": 2.0}
    shown = TypedForm(initial=held)
    sent = {name: shown[name].value() or "" for name in shown.fields}

    form = TypedForm({**sent, "depth": "3 m"}, initial=held)

    assert form.is_valid()
    assert as_typed(form) == {"rate": 1.0, "latitude": 46.50812345, "depth": 3.0, "before": None}
    assert form.cleaned_data["rate"] != 1.0
