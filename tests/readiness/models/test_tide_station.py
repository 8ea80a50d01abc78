"""What must always be true of a tide station and its printed events."""

from typing import Any

import pytest
from django.core.exceptions import ValidationError

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
        ({"kind": "fitted"}, "tide_station_fitted_says_what_the_fit_left_over"),
        ({"fit": {"count": 1}}, "tide_station_fitted_says_what_the_fit_left_over"),
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


def test_a_fitted_station_with_what_its_fit_left_over_is_kept(vessel: Vessel) -> None:
    fitted = TideStation.objects.create(vessel=vessel, key="fitted", name="Fitted", kind="fitted", fit={"count": 1})

    assert fitted.get_kind_display() == "fitted from observations"


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"hi_s": 0.0}, "unknown field `hi_s`"),
        ({"form": "ratios", "high_ratio": -1}, "A ratio of -1 for high water"),
        (5, "names and figures"),
    ],
    ids=str,
)
def test_differences_in_no_shape_that_is_known_are_refused(
    vessel: Vessel, station: TideStation, differences: Any, sentence: str
) -> None:
    second = TideStation(vessel=vessel, key="second", name="Second", kind="secondary port", reference=station)
    second.differences = differences

    with pytest.raises(ValidationError, match=sentence):
        second.full_clean()


def test_a_secondary_port_of_a_secondary_port_is_refused(vessel: Vessel, station: TideStation) -> None:
    second = TideStation.objects.create(
        vessel=vessel, key="second", name="Second", kind="secondary port", reference=station, differences=DIFFERENCES
    )
    third = TideStation(
        vessel=vessel, key="third", name="Third", kind="secondary port", reference=second, differences=DIFFERENCES
    )

    with pytest.raises(ValidationError, match="Second is a secondary port itself; take the port it hangs on"):
        third.full_clean()


def test_a_key_is_there_once_for_each_vessel(vessel: Vessel, station: TideStation, refused: Refused) -> None:
    other = Vessel.objects.create(name="Another")

    TideStation.objects.create(vessel=other, key=station.key, name="Same key", kind=station.kind)

    refused(TideStation(vessel=vessel, key=station.key, name="Same key", kind=station.kind), "UNIQUE")


def test_a_printed_event_is_there_once_for_each_time(station: TideStation, refused: Refused) -> None:
    TideEvent.objects.create(station=station, at=AT, height_m=4.0, high=True)

    refused(TideEvent(station=station, at=AT, height_m=4.1, high=True), "UNIQUE")
