"""What must always be true of an address that forecasts are fetched from."""

from datetime import timedelta
from typing import Any

import pytest

from readiness.models import ForecastFeed
from tests.readiness.models.conftest import AT, Refused
from vessel.models import Vessel


@pytest.fixture
def feed(vessel: Vessel) -> ForecastFeed:
    """A feed, saved, that was tried and was good."""
    return ForecastFeed.objects.create(
        vessel=vessel, name="Outer Sound", address="https://data.example/a.csv", kind="CSV", last_tried_at=AT,
        last_good_at=AT,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"name": ""}, "forecast_feed_name_is_not_empty"),
        ({"kind": "PDF"}, "forecast_feed_kind_is_a_known_word"),
        ({"every_s": 3599}, "forecast_feed_every_s_is_within_bounds"),
        ({"every_s": 7 * 86400 + 1}, "forecast_feed_every_s_is_within_bounds"),
        ({"address": "http://data.example/a.csv"}, "forecast_feed_address_is_https"),
        ({"last_good_at": AT + timedelta(seconds=1)}, "forecast_feed_good_is_not_after_tried"),
        ({"pk": None}, "UNIQUE"),
    ],
)
def test_a_feed_that_breaks_a_rule_is_refused(
    feed: ForecastFeed, refused: Refused, changes: dict[str, Any], rule: str
) -> None:
    for name, value in changes.items():
        setattr(feed, name, value)

    refused(feed, rule)


@pytest.mark.parametrize("every_s", [3600, 7 * 86400])
def test_an_hour_and_a_week_are_the_bounds_and_hold(feed: ForecastFeed, every_s: int) -> None:
    feed.every_s = every_s

    feed.save()
