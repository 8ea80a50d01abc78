"""Writing down tide stations of every kind."""

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from readiness.actions.coast import add_tide_station
from readiness.actions.tide_station import add_fitted_station
from readiness.feeds.tide_answer import heights
from readiness.feeds.tide_fit import fit_series
from readiness.feeds.tide_series import SeriesFile
from readiness.feeds.tide_station import StationNotes
from readiness.feeds.tide_table import StationFile
from readiness.models import TideStation
from readiness.queries.tide_station import station_called
from tests.factories.tide import epoch, even, height_at, published_harmonics
from tests.readiness.models.conftest import AT
from vessel.errors import BadInput
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
PLAIN = {"high_s": 600, "low_s": 300, "high_m": 0.1, "low_m": -0.1}
START = epoch("2027-03-01T00:00Z")


@pytest.fixture
def vessel() -> Vessel:
    """A boat."""
    return Vessel.objects.create(name="Tallow Wren")


def added(vessel: Vessel, key: str, **fields: Any) -> TideStation:
    return add_tide_station(vessel=vessel, by="owner-1", at=AT, key=key, name=key.title(), **fields)


def observed(days: int) -> SeriesFile:
    at = even(START, days * 24, 3600.0)
    height = height_at(published_harmonics("jacksonville_beach"), at)
    return SeriesFile(at, height, "MLLW", "UTC", "m", at.size, StationNotes(source="a gauge"))


def test_a_fitted_station_keeps_its_constants_and_what_the_fit_left_over(vessel: Vessel) -> None:
    station = add_fitted_station(
        vessel=vessel, by="owner-1", at=AT, observed=observed(60), key="gauge", name="Gauge at the mole"
    )

    assert (station.kind, station.datum, station.source) == ("fitted", "MLLW", "a gauge")
    assert station.fit is not None
    assert station.fit["count"] == 60 * 24
    assert station.fit["doubt_m"] == 2 * station.fit["standard_deviation_m"]
    assert HistoryEntry.objects.get().what == "Tide station written down: Gauge at the mole."


def test_a_fitted_station_answers_as_the_fit_itself_does(vessel: Vessel) -> None:
    add_fitted_station(vessel=vessel, by="owner-1", at=AT, observed=observed(60), key="gauge", name="Gauge")
    at = even(START + 7e6, 100, 660.0)

    kept = station_called("gauge", datetime.fromtimestamp(at[0], UTC), datetime.fromtimestamp(at[-1], UTC))
    fit = fit_series(observed(60))

    assert isinstance(kept, StationFile)
    assert kept.fit is not None
    assert fit.fit is not None
    assert kept.fit.doubt_m == fit.fit.doubt_m
    np.testing.assert_allclose(np.asarray(heights(kept, at)), np.asarray(heights(fit, at)), atol=1e-9)


def test_too_short_a_series_is_refused_and_nothing_is_written(vessel: Vessel) -> None:
    with pytest.raises(BadInput, match="a fit needs 29 days"):
        add_fitted_station(vessel=vessel, by="owner-1", at=AT, observed=observed(20), key="gauge", name="Gauge")

    assert not TideStation.objects.exists()
    assert not HistoryEntry.objects.exists()


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"hi_s": 0}, "contains unknown field"),
        ({"form": "ratios", "high_s": 0, "low_s": 0, "high_ratio": 0, "low_ratio": 1}, "A ratio of 0 for high water"),
        ({**PLAIN, "high_m": 21}, "more than 20 m for high water is no tide's"),
        ({**PLAIN, "low_s": 15 * 3600}, "more than 14 hours for low water"),
    ],
    ids=str,
)
def test_unfit_differences_are_refused_in_words_and_nothing_is_written(
    vessel: Vessel, differences: dict[str, Any], sentence: str
) -> None:
    main = added(vessel, "main", kind="printed table")

    with pytest.raises(BadInput, match=rf"Not saved: .*{sentence}.*Nothing was changed"):
        added(vessel, "port", kind="secondary port", reference=main, differences=differences)

    assert TideStation.objects.get() == main


@pytest.mark.parametrize(
    "differences", [PLAIN, {"form": "ratios", "high_s": 60, "low_s": 0, "high_ratio": 0.9, "low_ratio": 1}], ids=str
)
def test_a_secondary_port_is_written_down_with_differences_of_any_form(
    vessel: Vessel, differences: dict[str, Any]
) -> None:
    main = added(vessel, "main", kind="printed table")

    port = added(vessel, "port", kind="secondary port", reference=main, differences=differences)

    assert TideStation.objects.get(key="port").differences == differences
    assert port.reference == main


def test_a_port_that_hangs_on_a_secondary_port_is_refused(vessel: Vessel) -> None:
    main = added(vessel, "main", kind="printed table")
    port = added(vessel, "port", kind="secondary port", reference=main, differences=PLAIN)

    with pytest.raises(BadInput, match="Port is a secondary port itself; take the port it hangs on"):
        added(vessel, "third", kind="secondary port", reference=port, differences=PLAIN)
