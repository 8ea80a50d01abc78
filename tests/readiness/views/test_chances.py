"""The chances on the leg's page: by members, by the own table, and none."""

from dataclasses import replace

import numpy as np
import pytest
from django.test import Client

from readiness.feeds.forecast import pack, unpack
from readiness.models import Forecast, Leg
from tests.readiness.views.test_leg import page

pytestmark = pytest.mark.django_db
STRONGER = np.array([0.5, 1.0, 2.5])[:, None, None, None]


def as_ensemble() -> None:
    """The stored forecast as three members, the wind and sea of the last too much."""
    row = Forecast.objects.get()
    held = unpack(bytes(row.packed))
    by = {name: STRONGER if name.startswith(("wind", "gust", "wave_height")) else 1.0 for name in held.variables}
    variables = {
        name: by[name] * np.repeat(values[None], len(STRONGER), axis=0) for name, values in held.variables.items()
    }
    Forecast.objects.update(packed=pack(replace(held, variables=variables, members=(0, 1, 2))))


def test_members_are_counted_and_it_says_that_no_verdict_changes(owner: Client, leg: Leg) -> None:
    as_ensemble()

    text = page(owner, f"/legs/{leg.pk}/")

    assert "1 of 3" in text
    assert "33 %" in text
    assert "It changes no verdict." in text
    assert "issued 04:00, 3 members" in text


def test_without_an_ensemble_it_says_what_it_is_worked_out_from(owner: Client, leg: Leg) -> None:
    text = page(owner, f"/legs/{leg.pk}/")

    assert "No ensemble is held: worked out from our own table of errors, 11 h 37 min ahead." in text
    assert "under 1 %" in text


def test_without_a_forecast_there_are_none(owner: Client, leg: Leg) -> None:
    Forecast.objects.all().delete()

    text = page(owner, f"/legs/{leg.pk}/")

    assert "No chances can be told" in text
