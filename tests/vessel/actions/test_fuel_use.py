"""Writing down what a run really used: what is kept, what is refused in which words, and what history says."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.factories.vessel import a_vessel
from vessel.actions.fuel_use import book_fuel_use, strike_fuel_use
from vessel.errors import BadInput, Refused
from vessel.models import FuelUse, HistoryEntry

pytestmark = pytest.mark.django_db
AT = datetime(2026, 7, 10, 18, 0, tzinfo=UTC)
NAN = float("nan")


def book(**fields: Any) -> FuelUse:
    given = {
        "vessel": a_vessel(), "ended_at": AT - timedelta(hours=1), "from_engine_hours": 4200.0,
        "to_engine_hours": 4206.0, "used_l": 54.0, "mean_rpm": 1800.0, "by": "owner-0a1b2c", "at": AT, **fields,
    }  # fmt: skip
    return book_fuel_use(**given)


def test_a_run_is_kept_and_told() -> None:
    use = book(note=" full to full ")

    kept = FuelUse.objects.get()
    entry = HistoryEntry.objects.get()
    assert (kept.used_l, kept.mean_rpm, kept.mean_speed_mps, kept.note) == (54.0, 1800.0, None, "full to full")
    assert (entry.what, entry.noun, entry.noun_key) == ("Fuel used: 54 L in 6 h.", "fuel use", str(use.pk))
    assert entry.happened_at == AT - timedelta(hours=1)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"ended_at": AT + timedelta(hours=1)}, "A run cannot end in the future"),
        ({"used_l": NAN}, "must be numbers"),
        ({"mean_rpm": None, "mean_speed_mps": NAN}, "must be numbers"),
        ({"to_engine_hours": 4200.0}, "From 4200 h to 4200 h is no run"),
        ({"from_engine_hours": -1.0}, "From -1 h to 4206 h is no run"),
        ({"used_l": 0.0}, "more than 0 litres"),
        ({"mean_rpm": None}, "Give the mean rpm or the mean speed"),
        ({"mean_rpm": 0.0}, "are above 0"),
        ({"mean_speed_mps": -1.0}, "are above 0"),
    ],
)
def test_a_run_that_cannot_be_is_refused_and_nothing_is_written(wrong: dict[str, Any], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        book(**wrong)

    assert not FuelUse.objects.exists()
    assert not HistoryEntry.objects.exists()


def test_a_wrong_run_is_struck_out_once_and_stays_readable() -> None:
    use = book()

    strike_fuel_use(fuel_use_id=use.pk, by="owner-0a1b2c", at=AT)

    use.refresh_from_db()
    assert use.struck_at == AT
    assert HistoryEntry.objects.order_by("number").last().what == "Fuel used: the run of 54 L in 6 h was struck out."  # type: ignore[union-attr]
    with pytest.raises(Refused, match="struck out already"):
        strike_fuel_use(fuel_use_id=use.pk, by="owner-0a1b2c", at=AT)
    assert HistoryEntry.objects.count() == 2
