"""What must always be true of a forecast that was taken in."""

from datetime import timedelta
from typing import Any

import pytest

from readiness.models import Forecast
from tests.readiness.models.conftest import AT, Refused
from vessel.models import Vessel


@pytest.fixture
def forecast(vessel: Vessel) -> Forecast:
    """A forecast, saved."""
    return Forecast.objects.create(
        vessel=vessel, source="made up", issued_at=AT, taken_in_at=AT, by="timetable", south_deg=46.0, north_deg=47.0,
        west_deg=-16.0, east_deg=-13.0, first_at=AT, last_at=AT + timedelta(hours=48), packed=b"x", sha256="a" * 64,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"source": ""}, "forecast_source_is_not_empty"),
        ({"by": ""}, "forecast_by_is_not_empty"),
        ({"confidence": "sure"}, "forecast_confidence_is_a_known_word"),
        ({"south_deg": -91.0}, "forecast_south_deg_is_within_bounds"),
        ({"north_deg": 45.0}, "forecast_south_is_not_north_of_north"),
        ({"last_at": AT - timedelta(seconds=1)}, "forecast_first_is_not_after_last"),
        ({"sha256": "A" * 64}, "forecast_hash_is_64_hex_digits"),
        ({"sha256": "a" * 63}, "forecast_hash_is_64_hex_digits"),
    ],
)
def test_a_forecast_that_breaks_a_rule_is_refused(
    forecast: Forecast, refused: Refused, changes: dict[str, Any], rule: str
) -> None:
    for name, value in changes.items():
        setattr(forecast, name, value)

    refused(forecast, rule)


@pytest.mark.parametrize("issued_at", [AT, None])
def test_the_same_forecast_is_there_once(forecast: Forecast, refused: Refused, issued_at: object) -> None:
    forecast.issued_at = issued_at  # type: ignore[assignment]
    forecast.save()
    forecast.pk = None

    refused(forecast, "UNIQUE")


def test_one_issued_at_another_time_is_another(forecast: Forecast) -> None:
    forecast.pk, forecast.issued_at = None, AT + timedelta(hours=6)

    forecast.save()

    assert Forecast.objects.count() == 2
