"""A boat and a coast to hang rows on, and a way to see one rule of the database refuse."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from django.db import IntegrityError, models, transaction

from readiness.models import Harbour, Leg, TideStation
from vessel.models import Vessel

AT = datetime(2027, 5, 15, 6, 30, tzinfo=UTC)
Refused = Callable[[models.Model, str], None]


@pytest.fixture
def vessel(db: None) -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


@pytest.fixture
def station(vessel: Vessel) -> TideStation:
    """A tide station with constants."""
    return TideStation.objects.create(vessel=vessel, key="ostrel", name="Ostrel Haven", kind="harmonic constants")


@pytest.fixture
def harbour(vessel: Vessel) -> Harbour:
    """A harbour."""
    return Harbour.objects.create(
        vessel=vessel, key="ostrel", name="Ostrel Haven", zone="Europe/Lisbon", lat_deg=46.5, lon_deg=-15.0
    )


@pytest.fixture
def leg(vessel: Vessel, harbour: Harbour) -> Leg:
    """A planned leg out and back."""
    return Leg.objects.create(
        vessel=vessel, key="out-and-back", name="Out and back", planned_at=AT, departure=harbour, arrival=harbour
    )


@pytest.fixture
def refused() -> Refused:
    """Saves the row and expects the database itself to refuse it, naming the rule or the column."""

    def save(row: models.Model, rule: str) -> None:
        with pytest.raises(IntegrityError, match=rule), transaction.atomic():
            row.save()

    return save
