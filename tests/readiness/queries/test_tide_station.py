"""A station of the database answers as its file would."""

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from readiness.feeds.tide_answer import high_and_low
from readiness.feeds.tide_secondary import SecondaryFile
from readiness.feeds.tide_table import StationFile
from readiness.models import TideEvent, TideStation
from readiness.queries.tide_station import station_called
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput
from vessel.models import Vessel

START, END = datetime(2027, 5, 15, tzinfo=UTC), datetime(2027, 5, 16, tzinfo=UTC)
pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("name", ["Ostrel Haven", "ostrel"])
def test_a_station_is_found_by_name_and_by_key(name: str) -> None:
    stored(worked_example(1))

    found = station_called(name, START, END)

    events = high_and_low(found, START.timestamp(), END.timestamp())
    assert [f"{datetime.fromtimestamp(at, UTC):%H:%M}" for at in events.at] == ["01:18", "07:36", "13:54", "20:12"]
    assert found.datum == "chart datum"


def test_a_station_nobody_holds_is_told_with_those_that_are() -> None:
    stored(worked_example(1))

    with pytest.raises(BadInput, match=r"no tide station called Nowhere\. Stations held: Ostrel Haven"):
        station_called("Nowhere", START, END)


CONSTANTS = [
    {"name": "M2", "amplitude_m": 1.45, "phase_utc_deg": 153.2, "speed_deg_per_h": None},
    {"name": "S2", "amplitude_m": 0.5, "phase_utc_deg": 201.7, "speed_deg_per_h": None},
]
PLAIN = {"high_s": 600, "low_s": 300, "high_m": 0.1, "low_m": -0.1}


def kept(vessel: Vessel, key: str, **columns: Any) -> TideStation:
    return TideStation.objects.create(vessel=vessel, key=key, name=key.title(), datum="chart datum", **columns)


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


@pytest.fixture
def reference(vessel: Vessel) -> TideStation:
    """A station with constants."""
    return kept(vessel, "main", kind="harmonic constants", mean_level_m=2.6, constants=CONSTANTS, source="made up")


def test_constants_are_told_with_their_source_and_validity(reference: TideStation) -> None:
    TideStation.objects.update(valid_to=END)

    found = station_called("main", START, END)

    assert isinstance(found, StationFile)
    assert (found.source, found.valid) == ("made up", (-np.inf, END.timestamp()))
    assert found.harmonics.constituents == ("M2", "S2")


def test_a_secondary_port_says_what_it_hangs_on(vessel: Vessel, reference: TideStation) -> None:
    kept(vessel, "port", kind="secondary port", reference=reference, differences=PLAIN)

    found = station_called("port", START, END)
    events = high_and_low(found, START.timestamp(), END.timestamp())
    there = high_and_low(station_called("main", START, END), START.timestamp() - 600, END.timestamp())

    assert isinstance(found, SecondaryFile)
    assert found.reference.name == "Main"
    assert found.name == "Port"
    assert events.at.size in (3, 4)
    for at, height, high in zip(events.at, events.height_m, events.high, strict=True):
        late, more = (600, 0.1) if high else (300, -0.1)
        nearest = np.argmin(np.abs(there.at + late - at))
        assert at == pytest.approx(there.at[nearest] + late)
        assert height == pytest.approx(there.height_m[nearest] + more)


def test_a_port_whose_differences_make_no_sense_is_refused_in_words(vessel: Vessel, reference: TideStation) -> None:
    kept(vessel, "port", kind="secondary port", reference=reference, differences={"hi_s": 1})

    with pytest.raises(BadInput, match="no shape that is known"):
        station_called("port", START, END)


def test_a_port_of_a_port_is_refused_in_words(vessel: Vessel, reference: TideStation) -> None:
    second = kept(vessel, "second", kind="secondary port", reference=reference, differences=PLAIN)
    kept(vessel, "third", kind="secondary port", reference=second, differences=PLAIN)

    with pytest.raises(BadInput, match="Third hangs on Second, which is a secondary port itself"):
        station_called("third", START, END)


@pytest.mark.parametrize(
    ("applied", "said"), [(True, None), (False, "are not in these figures"), (None, "Nobody said whether")]
)
def test_a_table_says_whether_differences_are_in_it(vessel: Vessel, applied: bool | None, said: str | None) -> None:
    station = kept(vessel, "table", kind="printed table", differences_applied=applied)
    TideEvent.objects.create(station=station, at=START, height_m=4.0, high=True)

    warnings = station_called("table", START, END).warnings

    assert [said in each for each in warnings if said] == ([True] if said else [])
    assert len(warnings) == bool(said)


def test_a_fit_whose_record_is_damaged_is_told_without_it(vessel: Vessel) -> None:
    kept(vessel, "fitted", kind="fitted", mean_level_m=2.6, constants=CONSTANTS, fit={"count": 7})

    found = station_called("fitted", START, END)

    assert isinstance(found, StationFile)
    assert found.fit is None


def test_two_stations_of_one_name_are_asked_by_their_key(vessel: Vessel, reference: TideStation) -> None:
    kept(Vessel.objects.create(name="Another"), "main", kind="printed table")

    with pytest.raises(BadInput, match="More than one tide station is called Main; ask by its key"):
        station_called("Main", START, END)


@pytest.mark.parametrize("kind", ["main", "port"])
def test_a_station_costs_two_queries_at_most(
    vessel: Vessel, reference: TideStation, kind: str, django_assert_max_num_queries: Any
) -> None:
    kept(vessel, "port", kind="secondary port", reference=reference, differences=PLAIN)

    with django_assert_max_num_queries(2):
        station_called(kind, START, END)
