"""The forecasts held and one of them, on the worked example at its own hour."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.models import Forecast, ForecastFeed, Harbour, Leg, WarningLook
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.vessel import a_vessel
from tests.factories.worked_example import worked_example
from vessel.models import Pseudonym, Role

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def leg() -> Leg:
    return stored(worked_example(1))


@pytest.fixture
def browser(leg: Leg) -> Client:
    return signed_in(aboard(leg.vessel))


def page(browser: Client, address: str, **headers: str) -> str:
    answer = browser.get(address, headers=headers)
    assert answer.status_code == 200
    return answer.content.decode()


def another(forecast: Forecast, number: int, **columns: object) -> Forecast:
    """The same forecast once more with some columns altered."""
    row = Forecast.objects.get(pk=forecast.pk)
    row.pk, row.sha256 = None, f"{number + 100:064x}"
    for name, value in columns.items():
        setattr(row, name, value)
    row.save(force_insert=True)
    return row


def test_the_newest_issued_is_the_one_in_use(browser: Client) -> None:
    first = Forecast.objects.get()
    assert first.issued_at is not None
    newer = another(first, 1, source="newer", issued_at=first.issued_at + timedelta(hours=1))
    another(first, 2, source="dateless", issued_at=None)

    text = page(browser, "/forecasts/")

    rows = text.split("<tbody>")[1].split("<tr>")[1:]
    assert [name in row for name, row in zip(("newer", first.source, "dateless"), rows, strict=True)] == [True] * 3
    assert ["in use" in row for row in rows] == [True, False, False]
    assert "This is the forecast in use." in page(browser, f"/forecasts/{newer.pk}/")
    assert "Not in use: a newer one is held." in page(browser, f"/forecasts/{first.pk}/")


def test_a_forecast_without_a_time_of_issue_has_no_age(browser: Client) -> None:
    row = Forecast.objects.get()
    Forecast.objects.update(issued_at=None)

    assert "does not say when it was issued" in page(browser, f"/forecasts/{row.pk}/")


def test_no_forecast_teaches_what_belongs_here() -> None:
    text = page(signed_in(aboard()), "/forecasts/")

    assert "Forecasts taken in stand here" in text
    assert "Nobody has looked at the warnings yet" in text


def test_the_weather_is_drawn_for_the_harbour_that_is_asked_for(browser: Client) -> None:
    row, place = Forecast.objects.get(), Harbour.objects.get(key="morrowick")

    part = page(browser, f"/forecasts/{row.pk}/?at={place.pk}", **{"HX-Request": "true"})

    assert part.lstrip().startswith("{#") or '<div id="weather">' in part
    assert f"Weather at {place.name}" in part
    assert "Ahead the most wind is" in part
    assert "<h1" not in part


def test_a_harbour_out_of_its_waters_is_told_so_and_another_vessels_is_not_shown(browser: Client) -> None:
    row = Forecast.objects.get()
    far = Harbour.objects.create(vessel=row.vessel, key="far", name="Far Sound", zone="UTC", lat_deg=10.0, lon_deg=10.0)
    alien = Harbour.objects.create(
        vessel=a_vessel(), key="x", name="Alien Bay", zone="UTC", lat_deg=46.5, lon_deg=-14.9
    )

    assert "This forecast does not reach this place." in page(browser, f"/forecasts/{row.pk}/?at={far.pk}")
    assert "Alien Bay" not in page(browser, f"/forecasts/{row.pk}/?at={alien.pk}")


@pytest.mark.parametrize(("name", "told"), [("Ines Roke", "by Ines Roke"), ("", "by owner-6bac69")])
def test_who_took_it_in_is_told_by_name_until_the_name_is_erased(browser: Client, name: str, told: str) -> None:
    row = Forecast.objects.get()
    Forecast.objects.update(by="owner-6bac69")
    Pseudonym.objects.create(vessel_id=row.vessel_id, token="owner-6bac69", name=name)

    assert told in page(browser, f"/forecasts/{row.pk}/")


def test_a_damaged_forecast_says_so(browser: Client) -> None:
    row = Forecast.objects.get()
    Forecast.objects.update(packed=b"PK damaged")

    assert "The stored forecast is damaged" in page(browser, f"/forecasts/{row.pk}/")


def test_the_newest_look_at_the_warnings_is_told_with_its_age(browser: Client, leg: Leg) -> None:
    gale = {"kind": "gale", "area": "Outer Sound", "start": "2027-05-15T20:00:00+00:00", "end": None, "text": "gale 8"}
    WarningLook.objects.all().delete()
    for hours, items in ((5, []), (1, [gale])):
        WarningLook.objects.create(
            vessel=leg.vessel, source="coast radio", looked_at=NOW - timedelta(hours=hours),
            good_to=NOW + timedelta(hours=12), by="roke", items=items,
        )  # fmt: skip

    text = page(browser, "/forecasts/")

    assert "1 in force, looked Sat 15 May 05:00, 1 h ago" in text
    assert "Outer Sound, from Sat 15 May 21:00 until it is lifted: gale 8" in text


def test_feeds_tell_how_they_do_and_only_the_owner_sees_the_address(leg: Leg) -> None:
    ForecastFeed.objects.create(
        vessel=leg.vessel, name="Hourly", address="https://forecasts.example/a?key=s3cret", kind="GRIB",
        last_tried_at=NOW, last_error="The server did not answer.",
    )  # fmt: skip

    owner, skipper = (page(signed_in(aboard(leg.vessel, role)), "/forecasts/") for role in (Role.OWNER, Role.SKIPPER))

    assert "The server did not answer." in owner
    assert "s3cret" in owner
    assert "s3cret" not in skipper
    assert "Fetch now" not in skipper
    assert "Hourly" in skipper


def test_the_forecast_of_another_vessel_is_not_there(leg: Leg) -> None:
    row = Forecast.objects.get(vessel=leg.vessel)

    assert signed_in(aboard(a_vessel())).get(f"/forecasts/{row.pk}/").status_code == 404


def queries(browser: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as counted:
        page(browser, address)
    return len(counted)


def test_the_list_asks_no_more_for_three_forecasts_than_for_one(browser: Client) -> None:
    few = queries(browser, "/forecasts/")
    for number in (1, 2):
        another(Forecast.objects.order_by("pk")[0], number)

    assert queries(browser, "/forecasts/") == few <= 10
