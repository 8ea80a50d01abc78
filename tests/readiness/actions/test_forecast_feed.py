"""Fetching forecasts from a real server on this computer: what is good is taken in, what fails takes nothing away."""

from collections.abc import Iterator
from datetime import timedelta
from ipaddress import ip_address
from urllib.parse import urlsplit

import pytest
import time_machine

from config.celery import app
from readiness.actions.forecast_feed import add_feed, change_feed, fetch_feed
from readiness.models import Forecast, ForecastFeed
from readiness.tasks import FETCH, fetch_forecast, fetch_forecasts
from tests.vessel.feeds.served import AT, HOST, Served, serving
from vessel.errors import BadInput, Refused, StaleVersion
from vessel.feeds.address import Ip
from vessel.feeds.fetch import LONGEST_S
from vessel.models import DueWork, HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The server."""
    with serving(tmp_path_factory.mktemp("served")) as server:
        yield server


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


def own_of(address: str) -> frozenset[tuple[Ip, int]]:
    """This computer, on the port of the address."""
    return frozenset({(ip_address(here), urlsplit(address).port or 443) for here in ("127.0.0.1", "::1")})


def feed_at(vessel: Vessel, address: str, kind: str = "CSV", name: str = "Outer Sound") -> ForecastFeed:
    return add_feed(vessel=vessel, by="timetable", at=AT, own=own_of(address), name=name, address=address, kind=kind)


def test_a_forecast_that_came_is_taken_in_under_the_name_of_its_feed(vessel: Vessel, served: Served) -> None:
    feed = feed_at(vessel, served.address("/data"))

    row = fetch_feed(feed_id=feed.pk, by="timetable", at=AT, door=served.door())

    feed.refresh_from_db()
    assert row is not None
    assert (row.source, row.vessel, Forecast.objects.count()) == ("Outer Sound", vessel, 1)
    assert (feed.last_tried_at, feed.last_sent_at, feed.last_good_at, feed.last_error) == (AT, AT, AT, "")
    assert feed.version == 1


def test_fetched_twice_it_is_there_once(vessel: Vessel, served: Served) -> None:
    feed = feed_at(vessel, served.address("/same-tag"))

    for hours in range(2):
        fetch_feed(feed_id=feed.pk, by="timetable", at=AT + hours * HOUR, door=served.door())

    assert Forecast.objects.count() == 1


def test_nothing_new_is_good_news_and_asked_with_the_tag_of_what_is_held(vessel: Vessel, served: Served) -> None:
    feed = feed_at(vessel, served.address("/unchanged"))
    fetch_feed(feed_id=feed.pk, by="timetable", at=AT, door=served.door())

    again = fetch_feed(feed_id=feed.pk, by="timetable", at=AT + 6 * HOUR, door=served.door())

    feed.refresh_from_db()
    assert again is None
    assert 'If-None-Match: "7"' in served.asked[-1]
    assert (feed.last_sent_at, feed.last_good_at) == (AT, AT + 6 * HOUR)


@pytest.mark.parametrize("forgotten", ["half a day went by", "the forecast is gone"])
def test_the_tag_is_not_believed_for_ever_nor_without_its_forecast(
    vessel: Vessel, served: Served, forgotten: str
) -> None:
    feed = feed_at(vessel, served.address("/unchanged"))
    fetch_feed(feed_id=feed.pk, by="timetable", at=AT, door=served.door())
    if forgotten == "the forecast is gone":
        Forecast.objects.all().delete()

    later = AT + (12 if "day" in forgotten else 1) * HOUR
    row = fetch_feed(feed_id=feed.pk, by="timetable", at=later, door=served.door())

    assert row is not None
    assert "If-None-Match" not in served.asked[-1]


FAILS = {
    "/missing": ("CSV", "The server answers 404 Not Found."),
    "/portal": ("CSV", "perhaps you are behind a Wi-Fi sign-in page"),
    "/no-forecast": ("CSV", "Line 1: The columns time_utc, latitude, longitude are needed"),
    "/data": ("GRIB", "Outer Sound sent another kind of file than GRIB. Nothing was taken in."),
}


@pytest.mark.parametrize("play", FAILS)
def test_a_feed_that_fails_says_why_and_every_forecast_held_is_kept(vessel: Vessel, served: Served, play: str) -> None:
    kind, sentence = FAILS[play]
    good = feed_at(vessel, served.address("/same-tag"))
    fetch_feed(feed_id=good.pk, by="timetable", at=AT, door=served.door())
    ForecastFeed.objects.update(address=served.address(play), kind=kind)

    with pytest.raises(Refused):
        fetch_feed(feed_id=good.pk, by="timetable", at=AT + 6 * HOUR, door=served.door())

    good.refresh_from_db()
    assert sentence in good.last_error
    assert (good.last_tried_at, good.last_good_at, good.etag) == (AT + 6 * HOUR, AT, '"7"')
    assert Forecast.objects.count() == 1


def test_a_doubt_about_the_answer_stays_beside_the_feed(vessel: Vessel, served: Served) -> None:
    feed = feed_at(vessel, served.address("/stale"))

    fetch_feed(feed_id=feed.pk, by="timetable", at=AT, door=served.door())

    feed.refresh_from_db()
    assert feed.last_doubt.startswith("The server's answer is dated 3 d behind this clock")


def test_a_forecast_that_is_over_when_it_comes_is_a_doubt_beside_the_feed(vessel: Vessel, served: Served) -> None:
    feed = feed_at(vessel, served.address("/data"))
    late = AT + timedelta(days=400)

    row = fetch_feed(feed_id=feed.pk, by="timetable", at=late, door=served.door())

    feed.refresh_from_db()
    assert row is not None
    assert f"What came ended {row.last_at:%Y-%m-%d %H:%M} UTC: it says nothing of any day to come." in feed.last_doubt


def test_only_an_https_address_is_written_down_and_history_does_not_show_it(vessel: Vessel) -> None:
    with pytest.raises(BadInput, match="begins with https://"):
        feed_at(vessel, "http://data.example/a.csv")
    feed_at(vessel, f"https://{HOST}/a.csv?key=secret")

    assert ForecastFeed.objects.count() == 1
    assert "secret" not in str(list(HistoryEntry.objects.values()))


def test_at_another_address_nothing_was_tried_yet(vessel: Vessel, served: Served) -> None:
    feed = feed_at(vessel, served.address("/same-tag"))
    fetch_feed(feed_id=feed.pk, by="timetable", at=AT, door=served.door())
    feed.refresh_from_db()

    change_feed(
        feed=feed, seen_version=1, by="timetable", at=AT, own=served.door().own, address=served.address("/data")
    )

    feed.refresh_from_db()
    assert (feed.version, feed.etag, feed.last_tried_at, feed.last_good_at) == (2, "", None, None)


def test_a_feed_changed_by_somebody_else_meanwhile_is_not_overwritten(vessel: Vessel) -> None:
    feed = feed_at(vessel, "https://data.example/")
    change_feed(feed=feed, seen_version=1, by="timetable", at=AT, name="Inner Bay")

    with pytest.raises(StaleVersion):
        change_feed(feed=ForecastFeed.objects.get(), seen_version=1, by="timetable", at=AT, every_s=3600)
    with pytest.raises(BadInput, match="begins with https://"):
        change_feed(
            feed=ForecastFeed.objects.get(), seen_version=2, by="timetable", at=AT, address="ftp://data.example/"
        )

    assert ForecastFeed.objects.get().every_s == 6 * 3600


@time_machine.travel(AT, tick=False)
def test_by_itself_every_due_feed_is_work_of_its_own_with_room_for_judging_between(vessel: Vessel) -> None:
    feeds = [feed_at(vessel, f"https://data.example/{number}", name=f"Sea {number}") for number in range(3)]

    for _ in range(2):
        fetch_forecasts()

    works = list(DueWork.objects.order_by("due_at"))
    assert [work.arguments for work in works] == [{"feed_id": feed.pk} for feed in feeds]
    assert [work.due_at for work in works] == [AT, AT + MINUTE, AT + 2 * MINUTE]
    assert {work.task for work in works} == {FETCH}
    assert timedelta(seconds=2 * LONGEST_S) < MINUTE


def test_one_that_fails_is_told_beside_the_feed(vessel: Vessel) -> None:
    inner = feed_at(vessel, "https://127.0.0.1/")
    other = feed_at(vessel, "https://[::1]/", kind="GRIB", name="Inner Bay")

    for feed in (inner, other):
        fetch_forecast(feed.pk)
        feed.refresh_from_db()
        assert "lies in a network that is not open to all" in feed.last_error
        assert feed.last_tried_at is not None


def test_a_feed_that_was_taken_away_meanwhile_is_not_asked() -> None:
    fetch_forecast(999_999)

    assert Forecast.objects.count() == 0


def test_the_work_that_is_asked_for_is_work_the_worker_knows() -> None:
    app.loader.import_default_modules()

    assert FETCH in app.tasks
