"""Readings: as typed and as kept, the meter that never runs back, what a rule may ask for beside them."""

from datetime import datetime, timedelta

import pytest

from tests.factories.vessel import a_series
from vessel.actions.series import CLOCK_SLACK, add_reading, strike_reading
from vessel.calc.quantity import WhichUnit
from vessel.errors import BadInput, Refused
from vessel.models import Reading
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


def test_a_reading_keeps_what_was_typed_and_the_value_in_its_unit(at: datetime) -> None:
    series = a_series(name="Tiller head play", kind="free_play", unit="mm")

    reading = add_reading(series_id=series.pk, typed="1/16 in", by=BY, at=at, conditions={"radius_mm": 60, "rpm": None})

    assert (reading.value, reading.typed) == (1.5875, "1/16 in")
    assert reading.conditions == {"radius_mm": 60}
    assert history_page(series.vessel_id)[0].what == "Tiller head play: 1.5875 mm (measured)."


def test_a_reading_of_the_past_is_told_as_such(at: datetime) -> None:
    series = a_series()

    reading = add_reading(
        series_id=series.pk, typed="0.6", by=BY, at=at, taken_at=at - timedelta(5), engine_hours=120.0
    )

    line = history_page(series.vessel_id)[0]
    assert (reading.at, reading.engine_hours) == (at - timedelta(5), 120.0)
    assert (line.at, line.happened_at) == (at, at - timedelta(5))


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"typed": "2 gal"}, "which gal"),
        ({"typed": "20 in"}, "not a quantity in l"),
        ({"typed": "some"}, "not a quantity"),
        ({"typed": "1", "conditions": {"weather": 3}}, "“weather” is not a condition"),
        ({"typed": "1", "conditions": {"rpm": "fast"}}, "must be a number"),
        ({"typed": "1", "conditions": {"rpm": float("nan")}}, "must be a number"),
        ({"typed": "1", "conditions": {"rpm": True}}, "must be a number"),
        ({"typed": "1", "conditions": {"on_charge": 1}}, "must be yes or no"),
    ],
)
def test_what_is_no_reading_is_refused_and_nothing_written(
    at: datetime, fields: dict[str, object], sentence: str
) -> None:
    series = a_series()

    with pytest.raises(BadInput, match=sentence):
        add_reading(series_id=series.pk, by=BY, at=at, **fields)  # type: ignore[arg-type]

    assert not Reading.objects.exists()
    assert not history_page(series.vessel_id)


def test_a_question_carries_its_answers(at: datetime) -> None:
    with pytest.raises(WhichUnit) as asked:
        add_reading(series_id=a_series().pk, typed="1/2 pt", by=BY, at=at)

    assert asked.value.choices == ("UK pt", "US pt")


def test_a_phone_clock_may_run_five_minutes_fast_and_no_more(at: datetime) -> None:
    series = a_series()

    add_reading(series_id=series.pk, typed="1", by=BY, at=at, taken_at=at + CLOCK_SLACK)

    with pytest.raises(BadInput, match="lies in the future"):
        add_reading(series_id=series.pk, typed="1", by=BY, at=at, taken_at=at + CLOCK_SLACK + timedelta(seconds=1))
    assert Reading.objects.count() == 1


def test_a_state_of_charge_lies_between_empty_and_full(at: datetime) -> None:
    series = a_series(kind="state_of_charge", unit="1")

    for typed in ("0", "100 %"):
        add_reading(series_id=series.pk, typed=typed, by=BY, at=at)

    for typed in ("100.1 %", "-1 %"):
        with pytest.raises(BadInput, match="between 0 and 100 %"):
            add_reading(series_id=series.pk, typed=typed, by=BY, at=at)
    assert Reading.objects.count() == 2


@pytest.mark.parametrize(
    ("typed", "day", "refusal"),
    [
        ("110", 1, ""),
        ("100", 1, ""),
        ("120", 1, ""),
        ("99.9", 1, "less than the 100 h read before"),
        ("120.1", 1, "more than the 120 h read after"),
        ("119.9", 3, "less than the 120 h read before"),
        ("100.1", -1, "more than the 100 h read after"),
    ],
)
def test_an_hour_meter_never_runs_backwards(at: datetime, typed: str, day: int, refusal: str) -> None:
    series = a_series(kind="engine_hours", unit="h")
    for value, days in (("100", 0), ("120", 2)):
        add_reading(series_id=series.pk, typed=value, by=BY, at=at, taken_at=at - timedelta(5 - days))

    said = ""
    try:
        add_reading(series_id=series.pk, typed=typed, by=BY, at=at, taken_at=at - timedelta(5 - day))
    except Refused as reason:
        said = str(reason)

    assert refusal in said
    assert bool(said) is bool(refusal)
    assert Reading.objects.count() == (2 if refusal else 3)


def test_a_struck_reading_stays_and_counts_no_more(at: datetime) -> None:
    series = a_series(name="Hour meter", kind="engine_hours", unit="h")
    wrong = add_reading(series_id=series.pk, typed="999", by=BY, at=at - timedelta(1))

    strike_reading(reading_id=wrong.pk, by=BY, at=at)
    add_reading(series_id=series.pk, typed="100", by=BY, at=at)

    wrong.refresh_from_db()
    assert (wrong.value, wrong.struck_at, wrong.struck_by) == (999.0, at, BY)
    assert history_page(series.vessel_id)[1].what == "Hour meter: the reading 999 h was struck out."
    with pytest.raises(Refused, match="struck out already"):
        strike_reading(reading_id=wrong.pk, by=BY, at=at)
