"""A station of the database answers as its file would."""

from datetime import UTC, datetime

import pytest

from readiness.feeds.tide_answer import high_and_low
from readiness.queries.tide_station import station_called
from tests.factories.readiness import stored
from tests.factories.worked_example import worked_example
from vessel.errors import BadInput

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
