"""The worked example's leg at its own hour, asked for by people of every role."""

from collections.abc import Iterator

import pytest
import time_machine
from django.test import Client

from readiness.models import Leg
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from tests.readiness.views.asked import NOW
from vessel.models import Role


@pytest.fixture
def hour() -> Iterator[None]:
    """An hour and a half before she leaves."""
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def leg(hour: None) -> Leg:
    """Its verdict is Go if."""
    return stored(worked_example(1))


@pytest.fixture
def owner(leg: Leg) -> Client:
    """Her owner."""
    return signed_in(aboard(leg.vessel))


@pytest.fixture
def crew(leg: Leg) -> Client:
    """One of the crew."""
    return signed_in(aboard(leg.vessel, Role.CREW))
