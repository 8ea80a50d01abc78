"""What must always be true of a stream table and its rows."""

from typing import Any

import pytest

from readiness.models import StreamRow, StreamTable, TideStation
from tests.readiness.models.conftest import Refused

ROW = {"from_high_water_s": 0.0, "set_deg": 90.0, "rate_neaps_mps": 0.5, "rate_springs_mps": 1.0}


@pytest.fixture
def table(station: TideStation) -> StreamTable:
    """A table on a port."""
    return StreamTable.objects.create(
        vessel=station.vessel, key="skarn", name="Skarn Narrows", tide_station=station, neaps_range_m=2.1,
        springs_range_m=3.8,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"key": ""}, "stream_table_key_is_not_empty"),
        ({"name": ""}, "stream_table_name_is_not_empty"),
        ({"neaps_range_m": 0.0}, "stream_table_neaps_range_m_is_above_zero"),
        ({"neaps_range_m": 3.8}, "stream_table_neaps_range_is_below_springs"),
        ({"steady": True}, "stream_table_is_steady_or_has_a_station"),
        ({"tide_station": None}, "stream_table_is_steady_or_has_a_station"),
    ],
)
def test_a_table_that_breaks_a_rule_is_refused(
    table: StreamTable, refused: Refused, changes: dict[str, Any], rule: str
) -> None:
    for name, value in changes.items():
        setattr(table, name, value)

    refused(table, rule)


def test_a_steady_stream_needs_no_station(table: StreamTable) -> None:
    table.steady, table.tide_station = True, None

    table.save()

    assert StreamTable.objects.get().steady


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"from_high_water_s": 50401.0}, "stream_row_from_high_water_s_is_within_bounds"),
        ({"set_deg": 361.0}, "stream_row_set_deg_is_within_bounds"),
        ({"rate_neaps_mps": -0.1}, "stream_row_rate_neaps_mps_is_not_below_zero"),
        ({"rate_springs_mps": -0.1}, "stream_row_rate_springs_mps_is_not_below_zero"),
    ],
)
def test_a_row_that_breaks_a_rule_is_refused(
    table: StreamTable, refused: Refused, changes: dict[str, float], rule: str
) -> None:
    refused(StreamRow(table=table, **{**ROW, **changes}), rule)


def test_an_hour_is_there_once(table: StreamTable, refused: Refused) -> None:
    table.rows.create(**ROW)

    refused(StreamRow(table=table, **ROW), "UNIQUE")
