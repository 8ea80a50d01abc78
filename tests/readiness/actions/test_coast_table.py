from datetime import UTC, datetime
from typing import Any

import pytest

from readiness.actions.coast import add_stream_table, add_tide_station
from readiness.actions.coast_table import add_table_rows, change_stream_table
from readiness.feeds.tide_table import read_tide
from readiness.models import StreamTable, TideStation
from tests.factories.vessel import a_vessel
from vessel.actions.version import ChangedMeanwhile
from vessel.errors import BadInput, Refused
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
AT = datetime(2027, 5, 15, 6, 0, tzinfo=UTC)
MORE = read_tide(b"time_utc,height_m,type\n2027-05-15T12:24Z,4.5,H\n2027-05-15T18:40Z,1.0,L\n")
ROW = {"from_high_water_s": 0.0, "set_deg": 90.0, "rate_neaps_mps": 0.2, "rate_springs_mps": 0.2}
BY: dict[str, Any] = {"by": "test", "at": AT, "seen_version": 1}


@pytest.fixture
def vessel() -> Vessel:
    return a_vessel()


def station(vessel: Vessel, **columns: Any) -> TideStation:
    stated: dict[str, Any] = {"key": "ostrel", "name": "Ostrel Haven", "kind": "printed table", **columns}
    return add_tide_station(vessel=vessel, by="test", at=AT, **stated)


def steady(vessel: Vessel) -> StreamTable:
    return add_stream_table(vessel=vessel, by="test", at=AT, key="bay", name="Bay", steady=True, rows=[ROW])


def test_only_a_printed_table_takes_rows(vessel: Vessel) -> None:
    row = station(vessel, kind="harmonic constants")

    with pytest.raises(Refused, match="Ostrel Haven is no printed table"):
        add_table_rows(station=row, file=MORE, **BY)

    assert row.events.count() == 0


def test_rows_put_to_a_version_that_is_past_are_not_taken_in(vessel: Vessel) -> None:
    row = station(vessel)
    TideStation.objects.update(version=2)

    with pytest.raises(ChangedMeanwhile) as kept:
        add_table_rows(station=row, file=MORE, **BY)

    assert kept.value.version == 2
    assert row.events.count() == 0


def test_a_table_whose_datum_nobody_stated_takes_rows_of_any(vessel: Vessel) -> None:
    row = station(vessel, datum=None)

    assert add_table_rows(station=row, file=MORE, **BY) == 2
    assert row.version == 2


def test_a_table_without_rows_is_refused_and_keeps_its_own(vessel: Vessel) -> None:
    table = steady(vessel)

    with pytest.raises(BadInput, match="needs at least one row"):
        change_stream_table(table=table, rows=[], **BY)

    table.refresh_from_db()
    assert (table.version, table.rows.count()) == (1, 1)


def test_the_same_rows_are_no_change_and_write_no_line(vessel: Vessel) -> None:
    table = steady(vessel)
    lines = HistoryEntry.objects.count()

    change_stream_table(table=table, rows=[ROW], **BY)

    table.refresh_from_db()
    assert (table.version, HistoryEntry.objects.count()) == (1, lines)


def test_a_stream_table_never_hangs_on_the_station_of_another_vessel(vessel: Vessel) -> None:
    table, theirs = steady(vessel), station(a_vessel())

    with pytest.raises(BadInput, match="belongs to another vessel"):
        change_stream_table(table=table, tide_station=theirs, **BY)
