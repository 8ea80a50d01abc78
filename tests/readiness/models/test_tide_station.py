"""What must always be true of a tide station and its printed events."""

from typing import Any

import pytest

from readiness.models import TideEvent, TideStation
from tests.readiness.models.conftest import AT, Refused
from vessel.models import Vessel

DIFFERENCES = {"high_s": 0.0, "low_s": 0.0, "high_m": 0.0, "low_m": 0.0}


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"key": ""}, "tide_station_key_is_not_empty"),
        ({"name": ""}, "tide_station_name_is_not_empty"),
        ({"kind": "guess"}, "tide_station_kind_is_a_known_word"),
        ({"differences": DIFFERENCES}, "tide_station_secondary_has_reference_and_differences"),
        ({"kind": "secondary port"}, "tide_station_secondary_has_reference_and_differences"),
        (
            {"kind": "secondary port", "differences": DIFFERENCES},
            "tide_station_secondary_has_reference_and_differences",
        ),
    ],
)
def test_a_station_that_breaks_a_rule_is_refused(
    station: TideStation, refused: Refused, changes: dict[str, Any], rule: str
) -> None:
    for name, value in changes.items():
        setattr(station, name, value)

    refused(station, rule)


def test_a_secondary_port_with_reference_and_differences_is_kept(vessel: Vessel, station: TideStation) -> None:
    second = TideStation.objects.create(
        vessel=vessel, key="second", name="Second", kind="secondary port", reference=station, differences=DIFFERENCES
    )

    assert second.reference == station


def test_a_key_is_there_once_for_each_vessel(vessel: Vessel, station: TideStation, refused: Refused) -> None:
    other = Vessel.objects.create(name="Another")

    TideStation.objects.create(vessel=other, key=station.key, name="Same key", kind=station.kind)

    refused(TideStation(vessel=vessel, key=station.key, name="Same key", kind=station.kind), "UNIQUE")


def test_a_printed_event_is_there_once_for_each_time(station: TideStation, refused: Refused) -> None:
    TideEvent.objects.create(station=station, at=AT, height_m=4.0, high=True)

    refused(TideEvent(station=station, at=AT, height_m=4.1, high=True), "UNIQUE")
