"""What a forecast cannot be leaned on for."""

import pytest

from readiness.feeds.forecast import PAIRS, QUANTITIES
from readiness.views.forecast_doubts import COSTS, doubts_of, is_over

NOW = 1_810_360_800.0  # Sat 15 May 2027 06:00 UTC


def test_each_quantity_that_is_not_there_is_named_with_what_it_costs() -> None:
    known = set(QUANTITIES) - {"gust_mps", "wave_from_east", "wave_from_north", "pressure_hpa"}

    assert list(doubts_of(known, NOW + 3600, NOW, "UTC")) == [
        "No gusts: legs outside cannot be said yet.",
        "No wave direction: seas on the stream are not known.",
        "No pressure: the water under her keel is not known.",
    ]


def test_a_whole_forecast_of_days_to_come_has_no_doubts() -> None:
    assert list(doubts_of(QUANTITIES, NOW, NOW, "UTC")) == []


def test_one_that_has_ended_says_so_first_and_with_its_year() -> None:
    told = list(doubts_of(set(QUANTITIES) - {"gust_mps"}, 1_318_096_800.0, NOW, "Europe/Lisbon"))

    assert told == [
        "It ended Sat 8 Oct 2011 19:00 (18:00 UTC): it says nothing of any day to come.",
        "No gusts: legs outside cannot be said yet.",
    ]


def test_every_quantity_of_a_forecast_has_its_cost() -> None:
    assert set(COSTS) | {second for _, second in PAIRS} == set(QUANTITIES)


@pytest.mark.parametrize("ends_at", [float("nan"), float("inf")])
def test_one_without_times_is_not_called_over(ends_at: float) -> None:
    assert not is_over(ends_at, NOW)
