"""Which feeds are due, and how a feed is doing in words."""

from datetime import datetime, timedelta

import pytest

from readiness.models import ForecastFeed
from readiness.queries.forecast_feed import due_feeds, is_due, state_words
from tests.readiness.models.conftest import AT
from vessel.models import Vessel

HOUR = timedelta(hours=1)


@pytest.mark.parametrize(
    ("tried", "due"),
    [
        (None, True),
        (AT - timedelta(hours=5, minutes=54, seconds=59), False),
        (AT - timedelta(hours=5, minutes=55), True),
        (AT - timedelta(days=3), True),
        (AT + timedelta(minutes=5), False),
        (AT + timedelta(minutes=6), True),
    ],
)
def test_a_feed_is_due_when_its_time_has_come_and_when_the_clock_was_set_back(
    tried: datetime | None, due: bool
) -> None:
    assert is_due(ForecastFeed(every_s=6 * 3600, last_tried_at=tried), AT) is due


@pytest.mark.django_db
@pytest.mark.parametrize("count", [1, 3])
def test_the_feed_that_waited_longest_comes_first_and_one_switched_off_never(
    count: int, django_assert_num_queries: pytest.FixtureRequest
) -> None:
    vessel = Vessel.objects.create(name="Tallow Wren")
    feeds = [
        ForecastFeed.objects.create(
            vessel=vessel, name=f"feed {number}", address="https://data.example/", kind="CSV",
            last_tried_at=AT - (10 + number) * HOUR,
        )
        for number in range(count)
    ]  # fmt: skip
    ForecastFeed.objects.create(vessel=vessel, name="off", address="https://data.example/", kind="CSV", enabled=False)

    with django_assert_num_queries(1):  # type: ignore[operator]
        due = due_feeds(AT)

    assert due == [feed.pk for feed in reversed(feeds)]


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ({}, "No forecast has come from here yet."),
        ({"last_good_at": AT, "last_tried_at": AT}, "The last good copy came just now."),
        ({"last_good_at": AT - 3 * HOUR, "last_tried_at": AT - 3 * HOUR}, "The last good copy came 3 h ago."),
        (
            {"last_good_at": AT - 27 * HOUR, "last_tried_at": AT - HOUR, "last_error": "The server answers 404."},
            "The last good copy came 27 h ago. The try 1 h ago failed: The server answers 404.",
        ),
        (
            {"last_tried_at": AT - HOUR, "last_error": "Nothing came."},
            "No forecast has come from here yet. The try 1 h ago failed: Nothing came.",
        ),
        (
            {"last_good_at": AT, "last_tried_at": AT, "last_doubt": "It is an old copy."},
            "The last good copy came just now. It is an old copy.",
        ),
    ],
)
def test_a_feed_tells_the_age_of_its_last_good_copy_and_what_went_wrong(state: dict[str, object], words: str) -> None:
    assert state_words(ForecastFeed(**state), AT) == words
