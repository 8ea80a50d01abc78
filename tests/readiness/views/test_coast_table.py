"""More rows for a printed table, and stream tables changed."""

from datetime import UTC, datetime
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from readiness.actions.coast import add_stream_table, add_tide_station
from readiness.models import StreamTable, TideStation
from tests.factories.aboard import aboard, signed_in
from vessel.models import HistoryEntry, Membership, Role, Vessel
from vessel.units import HOUR, KNOT

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)
WATERS = [
    (datetime(2027, 5, 15, 6, 12, tzinfo=UTC), 0.9, False),
    (datetime(2027, 5, 15, 12, 24, tzinfo=UTC), 4.4, True),
]
MORE = b"time_utc,height_m,type\n2027-05-15T12:24Z,4.5,H\n2027-05-15T18:40Z,1.0,L\n2027-05-16T00:55Z,4.3,H\n"
CONSTANTS = b"constituent,amplitude_m,phase_utc_deg\nM2,1.45,312.4\n"


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def browser(ines: Membership) -> Client:
    return signed_in(ines)


def a_table(vessel: Vessel, **columns: Any) -> TideStation:
    stated: dict[str, Any] = {"kind": "printed table", "datum": "chart datum", "events": WATERS, **columns}
    return add_tide_station(vessel=vessel, by="test", at=NOW, key="ostrel", name="Ostrel Haven", **stated)


def sent(browser: Client, row: TideStation, data: bytes, **typed: str) -> tuple[int, str]:
    files = {"file": SimpleUploadedFile("more.csv", data)} if data else {}
    answer = browser.post(f"/tides/{row.pk}/rows/", {"version": "1", "once": "a1", **typed, **files})
    return answer.status_code, answer.content.decode()


def test_another_file_adds_its_rows_and_writes_over_those_of_the_same_time(browser: Client, ines: Membership) -> None:
    row = a_table(ines.vessel)

    status, text = sent(browser, row, MORE, valid_to="2027-12-31")
    again, _ = sent(browser, row, MORE, valid_to="2027-12-31")

    row.refresh_from_db()
    assert (status, again) == (302, 302), text
    assert [(f"{one.at:%dT%H:%M}", one.height_m, one.high) for one in row.events.order_by("at")] == [
        ("15T06:12", 0.9, False),
        ("15T12:24", 4.5, True),
        ("15T18:40", 1.0, False),
        ("16T00:55", 4.3, True),
    ]
    assert (row.version, row.valid_to) == (2, datetime(2028, 1, 1, tzinfo=UTC))
    lines = list(HistoryEntry.objects.values_list("what", flat=True))
    assert lines.count("3 high and low waters of Ostrel Haven were taken in.") == 1


def test_rows_alone_count_as_a_change_of_the_station_and_its_end_stays(browser: Client, ines: Membership) -> None:
    end = datetime(2027, 12, 31, 12, 30, tzinfo=UTC)
    row = a_table(ines.vessel, valid_to=end)

    status, text = sent(browser, row, MORE, valid_to="2027-12-31")

    row.refresh_from_db()
    assert status == 302, text
    assert (row.version, row.valid_to, row.events.count()) == (2, end, 4)


@pytest.mark.parametrize(
    ("data", "typed", "said"),
    [
        (b"", {}, "Choose the file of high and low waters."),
        (CONSTANTS, {}, "The file holds constants, not high and low waters."),
        (MORE.replace(b"height_m", b"height_m_above_LAT"), {}, "heights are above LAT, those of Ostrel Haven above"),
        (MORE.replace(b"12:24Z", b"12:20Z"), {}, "1 waters within these days at other times than the file"),
        (MORE.replace(b"4.5", b"x"), {}, "Line 2"),
        (MORE, {"version": "0"}, "was changed by somebody else"),
        (b"water,time_min,height_m\nH,1,1\nL,1,1\n", {}, "The file holds differences on another port"),
    ],
)
def test_rows_that_cannot_be_taken_in_are_told_and_nothing_is_changed(
    browser: Client, ines: Membership, data: bytes, typed: dict[str, str], said: str
) -> None:
    row = a_table(ines.vessel)

    status, text = sent(browser, row, data, **typed)

    row.refresh_from_db()
    assert status == 422
    assert said.replace("'", "&#x27;") in text
    assert (row.version, row.events.count()) == (1, 2)
    assert row.events.get(high=True).height_m == 4.4


def test_a_station_by_constants_takes_no_rows(browser: Client, ines: Membership) -> None:
    row = a_table(ines.vessel, kind="harmonic constants", events=())

    assert browser.get(f"/tides/{row.pk}/rows/").status_code == 404


def a_stream(vessel: Vessel) -> StreamTable:
    station = a_table(vessel)
    rows = [
        {"from_high_water_s": hour * HOUR, "set_deg": toward, "rate_neaps_mps": 1 / 3, "rate_springs_mps": 2 / 3}
        for hour, toward in ((-6.5, 90.0), (-0.5, 270.0))
    ]
    return add_stream_table(
        vessel=vessel, by="test", at=NOW, key="race", name="The race", tide_station=station, neaps_range_m=2.1,
        springs_range_m=3.8, rows=rows,
    )  # fmt: skip


def typed_of(browser: Client, table: StreamTable, **changes: str) -> dict[str, str]:
    form = browser.get(f"/streams/{table.pk}/change/").context["form"]
    return {**{name: str(form[name].value() or "") for name in form.fields}, "once": "a1", **changes}


def test_the_rows_of_a_stream_table_are_changed_once_with_a_line_of_history(browser: Client, ines: Membership) -> None:
    table = a_stream(ines.vessel)
    typed = typed_of(browser, table, rows="−6.5 090 1.5 4\n-0.5, 270, 1.5 kn, 4.0".replace(" kn", ""), beyond="held")

    first, again = (browser.post(f"/streams/{table.pk}/change/", typed) for _ in range(2))

    table.refresh_from_db()
    assert (first.status_code, again.status_code) == (302, 302), first.content.decode()
    rows = list(table.rows.values_list("from_high_water_s", "set_deg", "rate_neaps_mps", "rate_springs_mps"))
    assert rows[0] == pytest.approx((-6.5 * HOUR, 90.0, 1.5 * KNOT, 4 * KNOT))
    assert (len(rows), table.version, table.rates_held_beyond) == (2, 2, True)
    assert (
        list(HistoryEntry.objects.values_list("what", flat=True)).count("Rows of stream table The race changed.") == 1
    )


def test_rows_nobody_touched_stay_to_the_last_digit(browser: Client, ines: Membership) -> None:
    table = a_stream(ines.vessel)

    answer = browser.post(f"/streams/{table.pk}/change/", typed_of(browser, table, name="The Race", source="seen"))

    table.refresh_from_db()
    assert answer.status_code == 302, answer.content.decode()
    assert (table.name, table.source, table.version) == ("The Race", "seen", 2)
    assert list(table.rows.values_list("rate_neaps_mps", flat=True)) == [1 / 3, 1 / 3]


def test_rows_alone_count_as_a_change_of_the_table(browser: Client, ines: Membership) -> None:
    table = a_stream(ines.vessel)

    browser.post(f"/streams/{table.pk}/change/", typed_of(browser, table, rows="-6 90 1 2"))

    table.refresh_from_db()
    assert (table.version, table.rows.count()) == (2, 1)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"rows": ""}, "This field is required."),
        ({"rows": "-6 90 1"}, "Line 1: four figures stand in a line."),
        ({"rows": "-6 90 1 2\n-6 270 1 2"}, "Line 2: the hours do not rise."),
        ({"rows": "-14.1 90 1 2"}, "Line 1: -14.1 is not between -14 and 14 h."),
        ({"rows": "-6 360.1 1 2"}, "is not between 0 and 360 deg."),
        ({"rows": "-6 90 -0.1 2"}, "is not between 0 and 20 kn."),
        ({"rows": "-6 90 1 20.1"}, "is not between 0 and 20 kn."),
        ({"rows": "-6 90 fast 2"}, "Line 1:"),
        ({"neaps_range_m": "4 m"}, "Not saved:"),
        ({"tide_station": ""}, "This field is required."),
        ({"version": "0"}, "was changed by somebody else"),
        ({"version": "0", "rows": "-6 90 1 2"}, "was changed by somebody else"),
    ],
)
def test_a_table_that_cannot_be_meant_is_told_and_nothing_is_changed(
    browser: Client, ines: Membership, changes: dict[str, str], said: str
) -> None:
    table = a_stream(ines.vessel)

    answer = browser.post(f"/streams/{table.pk}/change/", typed_of(browser, table, **changes))

    table.refresh_from_db()
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert (table.version, table.rows.count()) == (1, 2)


def test_figures_exactly_on_the_bounds_are_taken(browser: Client, ines: Membership) -> None:
    table = a_stream(ines.vessel)

    answer = browser.post(f"/streams/{table.pk}/change/", typed_of(browser, table, rows="-14 0 0 20\n14 360 20 20"))

    assert answer.status_code == 302, answer.content.decode()


def test_a_steady_stream_has_one_row_and_no_port(browser: Client, ines: Membership) -> None:
    row = {"from_high_water_s": 0.0, "set_deg": 90.0, "rate_neaps_mps": 0.2, "rate_springs_mps": 0.2}
    table = add_stream_table(vessel=ines.vessel, by="test", at=NOW, key="bay", name="Bay", steady=True, rows=[row])

    answer = browser.post(f"/streams/{table.pk}/change/", typed_of(browser, table, rows="0 180 1 1"))

    assert answer.status_code == 302, answer.content.decode()
    assert table.rows.get().set_deg == 180.0
    assert "tide_station" not in browser.get(f"/streams/{table.pk}/change/").context["form"].fields


@pytest.mark.parametrize(
    ("role", "status"), [(Role.OWNER, 200), (Role.SKIPPER, 200), (Role.CREW, 403), (Role.VIEWER, 403)]
)
def test_owner_and_skipper_change_tables_and_nobody_else(role: str, status: int) -> None:
    member = aboard(role=role)
    table, browser = a_stream(member.vessel), signed_in(member)

    pages = (f"/streams/{table.pk}/change/", f"/tides/{table.tide_station_id}/rows/")
    assert {browser.get(address).status_code for address in pages} == {status}
