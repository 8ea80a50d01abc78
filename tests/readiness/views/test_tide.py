"""Tide stations and stream tables: shown on the worked example, and written down of every kind."""

import math
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.models import StreamTable, TideStation
from tests.factories.aboard import aboard, signed_in
from tests.factories.readiness import stored
from tests.factories.vessel import a_vessel
from tests.factories.worked_example import worked_example
from vessel.models import Membership, Role

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)
CONSTANTS = b"constituent,amplitude_m,phase_utc_deg\nM2,1.45,312.4\nS2,0.50,350.1\n"
TABLE = b"time_utc,height_m,type\n2027-05-15T06:12Z,0.9,L\n2027-05-15T12:24Z,4.4,H\n2027-05-15T18:40Z,1.0,L\n"
STREAM = b"""# name: Skarn Narrows
# reference: Ostrel Haven
# neaps_range_m: 2.1
# springs_range_m: 3.8
# latitude: 46 30.0 N
# longitude: 14 27.0 W
hours_from_hw,set_deg,neaps_kn,springs_kn
""" + b"".join(f"{hour},{90 if hour < 0 else 270},0.8,2.1\n".encode() for hour in range(-6, 7))


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


def page(browser: Client, address: str) -> str:
    answer = browser.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def sent(browser: Client, data: bytes = b"", **typed: str) -> tuple[int, str]:
    """A station as its form sends it."""
    files = {"file": SimpleUploadedFile("tide.csv", data)} if data else {}
    answer = browser.post("/tides/add/", {"name": "Ostrel Haven", **typed, **files})
    return answer.status_code, answer.content.decode()


def a_reference(member: Membership) -> TideStation:
    constants = [{"name": "M2", "amplitude_m": 1.4, "phase_utc_deg": 0.0, "speed_deg_per_h": None}]
    return TideStation.objects.create(
        vessel=member.vessel, key="ostrel", name="Ostrel Haven", kind="harmonic constants", datum="chart datum",
        mean_level_m=2.6, constants=constants,
    )  # fmt: skip


def test_stations_and_stream_tables_stand_with_their_kind_and_picture() -> None:
    text = page(signed_in(aboard(stored(worked_example(1)).vessel)), "/tides/")

    assert "Printed table of high and low waters" in text or "Harmonic constants" in text
    assert "At most" in text
    assert "Read it as a table" in text


def test_nothing_held_teaches_what_belongs_here(browser: Client) -> None:
    text = page(browser, "/tides/")

    assert "Stations whose tide can be told stand here" in text
    assert "hour by hour from high water" in text


def test_a_station_tells_its_tide_and_what_its_figures_rest_on(browser: Client, ines: Membership) -> None:
    row = a_reference(ines)

    text = page(browser, f"/tides/{row.pk}/")

    assert "harmonic constants, 1 constituents" in text
    assert "Saturday 15 May: high water" in text
    assert "2.60 m above it" in text
    assert "no end was set" in text


def test_a_station_that_cannot_answer_says_why_in_the_list_and_on_its_page(browser: Client, ines: Membership) -> None:
    row = a_reference(ines)
    TideStation.objects.update(datum=None)

    for address in ("/tides/", f"/tides/{row.pk}/"):
        assert "cannot answer; not known: the datum of its heights." in page(browser, address)


def test_figures_that_no_longer_hold_tell_nothing(browser: Client, ines: Membership) -> None:
    row = a_reference(ines)
    TideStation.objects.update(valid_to=NOW - timedelta(days=30))

    text = page(browser, f"/tides/{row.pk}/")

    assert "its figures do not hold then" in text
    assert "until Thu 15 Apr 2027" in text


def test_constants_are_taken_in_with_what_was_typed_beside_them(browser: Client) -> None:
    status, text = sent(browser, CONSTANTS, what="file", datum="chart datum", mean_level_m="2.6 m", source="almanac")

    row = TideStation.objects.get()
    assert status == 302, text
    assert (row.kind, row.datum, row.mean_level_m, row.source) == ("harmonic constants", "chart datum", 2.6, "almanac")
    assert [one["name"] for one in row.constants] == ["M2", "S2"]


def test_a_printed_table_is_taken_in_and_whether_its_differences_are_in_it_stays_not_known(browser: Client) -> None:
    status, text = sent(browser, TABLE, what="file", datum="chart datum", valid_to="2027-12-31")

    row = TideStation.objects.get()
    assert status == 302, text
    assert (row.kind, row.events.count(), row.differences_applied) == ("printed table", 3, None)
    assert row.valid_to == datetime(2028, 1, 1, tzinfo=UTC)
    assert "whether its differences are applied" in page(browser, f"/tides/{row.pk}/")


def test_observed_heights_are_fitted_and_what_is_left_over_is_shown(browser: Client) -> None:
    lines = [b"time_utc,height_m"]
    for hour in range(24 * 45):
        when = datetime(2027, 3, 1, tzinfo=UTC) + timedelta(hours=hour)
        height = 2.6 + 1.45 * math.cos(math.radians(28.9841042 * hour)) + 0.05 * math.sin(hour * 1.7)
        lines.append(f"{when:%Y-%m-%dT%H:%MZ},{height:.3f}".encode())

    status, text = sent(browser, b"\n".join(lines), what="fit", datum="chart datum")

    row = TideStation.objects.get()
    assert status == 302, text
    assert row.kind == "fitted"
    told = page(browser, f"/tides/{row.pk}/")
    assert "fitted from 45 days of observations" in told
    assert "Most left over" in told


def test_too_short_a_series_is_refused_with_what_is_needed(browser: Client) -> None:
    status, text = sent(
        browser, b"time_utc,height_m\n2027-05-15T06:00Z,1\n2027-05-15T07:00Z,2\n", what="fit", datum="x"
    )

    assert status == 422
    assert "a fit needs 29 days" in text
    assert TideStation.objects.count() == 0


def test_a_secondary_port_hangs_on_its_reference_and_a_difference_left_out_is_not_known(
    browser: Client, ines: Membership
) -> None:
    reference = a_reference(ines)

    status, text = sent(
        browser, name="Brannowmouth", what="port", reference=str(reference.pk), datum="chart datum", high_s="5", low_s="10",
        high_m="-0.1",
    )  # fmt: skip

    row = TideStation.objects.get(name="Brannowmouth")
    assert status == 302, text
    assert row.differences == {"form": "single", "high_s": 300.0, "low_s": 600.0, "high_m": -0.1, "low_m": None}
    assert "secondary port of Ostrel Haven by one difference each" in page(browser, f"/tides/{row.pk}/")


@pytest.mark.parametrize(
    ("data", "typed", "said"),
    [
        (b"", {"what": "file"}, "Choose the file."),
        (b"", {"what": "fit"}, "Choose the file."),
        (b"", {"what": "port"}, "Say which port the differences are on."),
        (b"rubbish", {"what": "file"}, "Line 1"),
        (TABLE.replace(b"4.4", b"4.4 m"), {"what": "file"}, "Line 3"),
        (CONSTANTS, {}, "This field is required."),
    ],
)
def test_what_cannot_be_taken_in_is_told_and_nothing_is_written(
    browser: Client, data: bytes, typed: dict[str, str], said: str
) -> None:
    status, text = sent(browser, data, **typed)

    assert status == 422
    assert said in text
    assert TideStation.objects.count() == 0


def test_what_is_said_about_a_station_is_changed_and_its_figures_stay(browser: Client, ines: Membership) -> None:
    row = a_reference(ines)
    TideStation.objects.update(mean_level_m=2.6123456789, valid_to=NOW)
    shown = browser.get(f"/tides/{row.pk}/change/").context["form"]
    typed = {name: shown[name].value() or "" for name in shown.fields}

    answer = browser.post(f"/tides/{row.pk}/change/", {**typed, "datum": "lowest astronomical tide"})

    row.refresh_from_db()
    assert answer.status_code == 302
    assert (row.datum, row.mean_level_m, row.valid_to, row.version) == (
        "lowest astronomical tide",
        2.6123456789,
        NOW,
        2,
    )
    assert len(row.constants) == 1


def test_a_station_changed_meanwhile_is_kept(browser: Client, ines: Membership) -> None:
    row = a_reference(ines)
    TideStation.objects.update(version=2)

    answer = browser.post(f"/tides/{row.pk}/change/", {"name": "Mine", "version": "1", "once": "a1"})

    row.refresh_from_db()
    assert answer.status_code == 422
    assert row.name == "Ostrel Haven"


def test_a_stream_table_is_taken_in_on_the_station_it_names(browser: Client, ines: Membership) -> None:
    refused = browser.post("/streams/add/", {"file": SimpleUploadedFile("s.csv", STREAM), "once": "a1"})
    assert refused.status_code == 422
    assert "No tide station is called Ostrel Haven" in refused.content.decode()
    a_reference(ines)

    browser.post("/streams/add/", {"file": SimpleUploadedFile("s.csv", STREAM), "once": "a2"})

    table = StreamTable.objects.get()
    assert (table.name, table.rows.count()) == ("Skarn Narrows", 13)
    assert "At most 2.1 kn toward E at springs, by the high water of Ostrel Haven." in page(browser, "/tides/")


@pytest.mark.parametrize(
    ("role", "status"), [(Role.OWNER, 200), (Role.SKIPPER, 200), (Role.CREW, 403), (Role.VIEWER, 403)]
)
def test_owner_and_skipper_write_stations_down_and_nobody_else(role: str, status: int) -> None:
    member = aboard(role=role)
    browser, row = signed_in(member), a_reference(member)

    pages = ("/tides/add/", "/streams/add/", f"/tides/{row.pk}/change/")
    assert {browser.get(address).status_code for address in pages} == {status}
    assert ("Change the station" in page(browser, f"/tides/{row.pk}/")) is (status == 200)
    assert ("Add a tide station" in page(browser, "/tides/")) is (status == 200)


def test_the_station_of_another_vessel_is_not_there(browser: Client) -> None:
    row = a_reference(aboard(a_vessel()))

    assert browser.get(f"/tides/{row.pk}/").status_code == 404
    assert browser.post(f"/tides/{row.pk}/change/", {"name": "Mine", "version": "1"}).status_code == 404
    assert "Ostrel Haven" not in page(browser, "/tides/add/")


def test_the_list_asks_no_more_for_three_stations_than_for_one(browser: Client, ines: Membership) -> None:
    a_reference(ines)

    def queries() -> int:
        with CaptureQueriesContext(connection) as counted:
            page(browser, "/tides/")
        return len(counted)

    few = queries()
    for number in (2, 3):
        TideStation.objects.create(
            vessel=ines.vessel, key=f"port-{number}", name=f"Port {number}", kind="secondary port", datum="chart datum",
            reference=TideStation.objects.get(key="ostrel"),
            differences={"form": "single", "high_s": 0.0, "low_s": 0.0, "high_m": 0.0, "low_m": 0.0},
        )  # fmt: skip

    assert queries() == few <= 10
