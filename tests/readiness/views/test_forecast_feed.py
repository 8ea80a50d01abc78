"""The pages of the feeds: who adds them, which addresses are saved, what fetching now tells."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client

from readiness.models import ForecastFeed
from tests.factories.aboard import aboard, signed_in
from tests.factories.vessel import a_vessel
from vessel.feeds.address import listed
from vessel.models import Membership, Role

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 14, 17, 0, tzinfo=UTC)
FEED = {"name": "Hourly", "address": "https://forecasts.example/coast.grib", "kind": "GRIB", "every_h": "3",
        "enabled": "on", "version": "0", "once": "f1"}  # fmt: skip


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def browser(ines: Membership) -> Client:
    return signed_in(ines)


def test_a_feed_is_added_changed_and_stopped(browser: Client) -> None:
    browser.post("/feeds/add/", FEED)
    row = ForecastFeed.objects.get()
    assert (row.every_s, row.enabled) == (10800, True)

    without = {name: value for name, value in FEED.items() if name != "enabled"}
    browser.post(f"/feeds/{row.pk}/change/", {**without, "version": "1", "once": "f2"})

    row.refresh_from_db()
    assert (row.enabled, row.version) == (False, 2)


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("http://forecasts.example/a", "must begin with https://"),
        ("ftp://forecasts.example/a", "must begin with https://"),
        ("https://ines@forecasts.example/a", "Nothing"),
        ("https://127.0.0.1/a", "127.0.0.1 is not asked: 127.0.0.1 lies in a network that is not open to all."),
        ("https://192.168.1.20/a", "lies in a network that is not open to all."),
        ("https://forecasts.example:8443/a", "port 8443 is not asked, only 443."),
    ],
)
def test_an_address_that_may_not_be_asked_is_refused(browser: Client, address: str, said: str) -> None:
    answer = browser.post("/feeds/add/", {**FEED, "address": address})

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert ForecastFeed.objects.count() == 0


def test_a_feed_cannot_be_moved_to_an_address_that_is_never_asked(browser: Client) -> None:
    browser.post("/feeds/add/", FEED)
    row = ForecastFeed.objects.get()

    answer = browser.post(
        f"/feeds/{row.pk}/change/", {**FEED, "address": "https://10.0.0.7/a", "version": "1", "once": "f2"}
    )

    assert answer.status_code == 422
    assert "10.0.0.7 is not asked" in answer.content.decode()
    assert ForecastFeed.objects.get().address == FEED["address"]


def test_an_address_aboard_that_was_allowed_is_saved(browser: Client, settings: Any) -> None:
    settings.FEED_ADDRESSES = listed(["192.168.1.20:8443"])

    browser.post("/feeds/add/", {**FEED, "address": "https://192.168.1.20:8443/a"})

    assert ForecastFeed.objects.get().address == "https://192.168.1.20:8443/a"


def test_fetching_now_tells_what_went_wrong_and_keeps_the_last_good_copy(browser: Client, ines: Membership) -> None:
    row = ForecastFeed.objects.create(
        vessel=ines.vessel, name="Own", address="https://127.0.0.1/coast.grib", kind="GRIB",
        last_tried_at=NOW - timedelta(hours=2), last_good_at=NOW - timedelta(hours=2),
    )  # fmt: skip

    answer = browser.post(f"/feeds/{row.pk}/fetch/", follow=True)

    row.refresh_from_db()
    assert row.last_error
    assert row.last_error in answer.content.decode().replace("&#x27;", "'")
    assert row.last_good_at == NOW - timedelta(hours=2)


@pytest.mark.parametrize("role", [Role.SKIPPER, Role.CREW, Role.VIEWER])
def test_only_the_owner_says_what_is_fetched_from_where(role: str) -> None:
    member = aboard(role=role)
    row = ForecastFeed.objects.create(
        vessel=member.vessel, name="Own", address="https://forecasts.example/a", kind="GRIB"
    )
    browser = signed_in(member)

    assert browser.get("/feeds/add/").status_code == 403
    assert browser.get(f"/feeds/{row.pk}/change/").status_code == 403
    assert browser.post(f"/feeds/{row.pk}/fetch/").status_code == 403


def test_the_feed_of_another_vessel_is_not_there(browser: Client) -> None:
    row = ForecastFeed.objects.create(vessel=a_vessel(), name="Own", address="https://forecasts.example/a", kind="GRIB")

    assert browser.get(f"/feeds/{row.pk}/change/").status_code == 404
    assert browser.post(f"/feeds/{row.pk}/fetch/").status_code == 404
