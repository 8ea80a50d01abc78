"""The windows of one gate, asked for itself."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from pytest_django import DjangoAssertNumQueries

from readiness.models import Gate, LimitSet, TideStation
from readiness.queries.gate import FLAT_WATER, GateDays, windows_of_gates
from tests.factories.readiness import stored
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import vessel
from vessel.units import DAY, HOUR, KNOT

pytestmark = pytest.mark.django_db
START = datetime(2027, 5, 15, tzinfo=UTC)


def windows_of(gate: Gate, *, start: datetime, end: datetime) -> GateDays:
    return windows_of_gates([gate], start=start, end=end)[gate.pk]


def days_of(key: str, days: int = 2, **columns: Any) -> GateDays:
    """The windows of a stored gate with some columns altered."""
    gate = Gate.objects.get(key=key)
    Gate.objects.filter(pk=gate.pk).update(**columns)
    gate.refresh_from_db()
    return windows_of(gate, start=START, end=START + timedelta(days=days))


def high_waters() -> np.ndarray[Any, Any]:
    events = TideStation.objects.get(key="ostrel").events.filter(
        high=True, at__range=(START, START + timedelta(days=2))
    )
    return np.array([event.at.timestamp() for event in events])


def test_a_lock_works_about_each_high_water_and_takes_the_last_in_before_it_shuts() -> None:
    stored(worked_example(1))

    found = days_of("morrowick-lock")

    assert found.why_not == found.note == ""
    whole = found.opens_known & found.closes_known
    high, end = high_waters(), START.timestamp() + 2 * DAY
    high = high[(high - 3 * HOUR > START.timestamp()) & (high + 2 * HOUR < end)]
    assert high.size >= 3
    assert found.opens_at[whole] == pytest.approx(high - 3 * HOUR, abs=0.02)
    assert found.closes_at[whole] == pytest.approx(high + 2 * HOUR, abs=0.02)
    assert found.closes_at - found.last_entry_at == pytest.approx(900.0)


def test_it_says_the_same_as_the_passage_does_and_of_a_bar_that_it_is_told_for_flat_water() -> None:
    stored(worked_example(1))

    sill, bar = days_of("hallorn-sill"), days_of("brannow-bar")

    # the sill at 1.6 m and the bar at -0.6 m with 1.2 m of draught and 0.3 m under the keel
    tide = worked_example(1).water.stations[0]
    at, height = np.array([event.timestamp() for event in tide.event_at]), tide.event_m
    opens = sill.opens_at[sill.opens_known]
    later = np.searchsorted(at, opens)
    share = (opens - at[later - 1]) / (at[later] - at[later - 1])
    half = (height[later - 1] + height[later]) / 2 + (height[later - 1] - height[later]) / 2 * np.cos(np.pi * share)
    draught = worked_example(1).boat.vessel.draught_m
    assert half == pytest.approx(1.6 + draught + 0.3, abs=1e-3)
    assert (sill.note, bar.note) == ("", FLAT_WATER)
    assert (bar.closes_at - bar.opens_at).sum() > (sill.closes_at - sill.opens_at).sum()


def test_the_skippers_own_limits_are_asked() -> None:
    leg = stored(worked_example(1))
    before = days_of("hallorn-sill")
    LimitSet.objects.create(vessel=leg.vessel, number=2, values={"under_keel_m": 0.8}, set_at=JUDGED_AT, by="roke")

    after = days_of("hallorn-sill")

    assert (after.opens_at[1:] > before.opens_at[1:]).all()


@pytest.mark.parametrize(
    ("key", "columns", "why_not"),
    [
        ("morrowick-lock", {"before_s": None}, "how long before and after high water it works"),
        ("morrowick-lock", {"keeps_hours": None}, "whether a keeper keeps hours"),
        ("morrowick-lock", {"keeps_hours": True}, "the keeper's hours and their time zone"),
        ("hallorn-sill", {"tide_station": None}, "the tide there"),
        ("hallorn-sill", {"zero": "a mark on the wall"}, "what its height is measured from"),
        ("hallorn-sill", {"kind": "bridge"}, "whether it opens"),
        ("hallorn-sill", {"kind": "narrows"}, "the stream there and the rate up to which it is passed"),
    ],
)
def test_what_is_not_known_is_named_and_nothing_is_open(key: str, columns: dict[str, Any], why_not: str) -> None:
    stored(worked_example(1))

    found = days_of(key, **columns)

    assert found.why_not == why_not
    assert found.opens_at.size == found.last_entry_at.size == 0


def test_a_draught_nobody_measured_is_named() -> None:
    stored(vessel(worked_example(1), draught_m=None))

    assert days_of("hallorn-sill").why_not == "her draught"


def test_narrows_are_passed_while_their_stream_is_weak_enough() -> None:
    leg = stored(worked_example(1))
    table = leg.vessel.stream_tables.get(key="skarn")

    found = days_of(
        "hallorn-sill", kind="narrows", stream_table=table, most_rate_mps=3.0 * KNOT, days=12, tide_station=None
    )

    assert found.why_not == ""
    assert found.opens_at.size > 0  # at neaps
    assert (found.closes_at - found.opens_at).sum() < 12 * 86400  # not at springs


def test_beyond_the_tide_table_nothing_is_known_rather_than_shut() -> None:
    stored(worked_example(1))
    gate, last = Gate.objects.get(key="hallorn-sill"), worked_example(1).water.stations[0].event_at[-1]

    found = windows_of(gate, start=last - timedelta(days=1), end=last + timedelta(days=1))

    assert found.opens_at.size > 0
    assert found.dark_from == pytest.approx([last.timestamp()], abs=0.02)
    assert found.dark_to == pytest.approx([last.timestamp() + DAY])
    beyond = windows_of(gate, start=last + timedelta(days=9), end=last + timedelta(days=10))
    assert (beyond.opens_at.size, beyond.why_not) == (0, "the tide there")


def test_it_takes_as_many_queries_as_it_says(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    stored(worked_example(1))
    gate = Gate.objects.get(key="morrowick-lock")

    with django_assert_num_queries(4):  # it has no stream
        windows_of(gate, start=START, end=START + timedelta(days=2))


def test_many_gates_are_told_together_and_each_as_by_itself(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    stored(worked_example(1))
    gates = list(Gate.objects.order_by("pk"))
    end = START + timedelta(days=2)

    with django_assert_num_queries(4):  # there are no narrows, so the fifth, of streams, is not asked
        together = windows_of_gates(gates, start=START, end=end)

    assert len(together) == len(gates) > 1
    for gate in gates:
        alone = windows_of(gate, start=START, end=end)
        assert together[gate.pk].opens_at == pytest.approx(alone.opens_at)
        assert together[gate.pk].why_not == alone.why_not


def test_no_gate_has_no_windows() -> None:
    assert windows_of_gates([], start=START, end=START + timedelta(days=1)) == {}
