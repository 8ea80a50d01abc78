"""When each kind of gate is open: each side of what opens and shuts it, and nothing open that is not known."""

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from readiness.calc.tide import TideTable
from readiness.calc.window import inside, known
from readiness.rules.facts_water import Gate
from readiness.rules.gates import Sea, condition_of, zero_m
from readiness.rules.passage import Tide
from readiness.rules.words_of_trade import GateKind
from tests.readiness.rules.gate_case import HIGH, NAN, START, gate, risen_to, setting, station, stream, windows
from vessel.units import DAY, HOUR, KNOT, MINUTE, Array


def test_a_sill_opens_when_the_tide_has_risen_over_it_by_draught_and_clearance() -> None:
    found = windows(gate(GateKind.SILL, level_m=1.5), setting())

    assert found.opens_at[0] == pytest.approx(HIGH[1] - risen_to(3.0), abs=0.02)
    assert found.closes_at[0] == pytest.approx(HIGH[1] + risen_to(3.0), abs=0.02)


@pytest.mark.parametrize(("level_m", "zero"), [(-3.0, "mean high water springs"), (1.5, "chart datum"), (1.5, "local")])
def test_a_sill_may_be_given_above_any_level_that_is_known(level_m: float, zero: str) -> None:
    found = windows(gate(GateKind.SILL, level_m=level_m, zero=zero), setting(station=station(datum="local")))

    assert found.opens_at[0] == pytest.approx(HIGH[1] - risen_to(3.0), abs=0.02)


@pytest.mark.parametrize(
    ("zero", "expected"),
    [("chart datum", 0.0), ("mean high water springs", 4.5), ("mean level", 2.6), ("the quay", NAN), (None, NAN)],
)
def test_a_zero_is_known_by_its_name_or_not_at_all(zero: str | None, expected: float) -> None:
    assert zero_m(station(mean_level_m=2.6), zero) == pytest.approx(expected, nan_ok=True)


def test_a_lock_wants_its_hours_about_high_water_and_water_over_its_sill() -> None:
    free, with_sill, deep = (
        windows(gate(GateKind.LOCK, before_s=3 * HOUR, after_s=2 * HOUR, level_m=level), setting())
        for level in (NAN, 2.5, -1.0)
    )

    assert free.opens_at[0] == deep.opens_at[0] == pytest.approx(HIGH[1] - 3 * HOUR, abs=0.02)
    assert with_sill.opens_at[0] == pytest.approx(HIGH[1] - risen_to(4.0), abs=0.02)
    assert with_sill.closes_at[0] == pytest.approx(HIGH[1] + risen_to(4.0), abs=0.02)
    assert free.closes_at[0] == pytest.approx(HIGH[1] + 2 * HOUR, abs=0.02)


def constant(value: float) -> Sea:
    return lambda at: np.full(np.shape(at), value)


@pytest.mark.parametrize(
    ("sea_m", "most_m", "opens_for_m"),
    [(0.0, 9.0, 3.0), (1.0, 9.0, 3.5), (1.0, 1.0, 3.5), (1.0, 1.001, 3.5), (1.0, 0.999, None), (5.0, 9.0, None)],
)
def test_a_bar_wants_half_the_sea_under_the_keel_and_no_higher_sea_than_it_is_crossed_in(
    sea_m: float, most_m: float, opens_for_m: float | None
) -> None:
    found = windows(gate(GateKind.BAR, level_m=1.5, most_sea_m=most_m), setting(sea=constant(sea_m)))

    assert not found.dark_from.size
    if opens_for_m is None:
        assert not found.opens_at.size
    else:
        assert found.opens_at[0] == pytest.approx(HIGH[1] - risen_to(opens_for_m), abs=0.02)


def test_a_bar_in_a_sea_that_is_not_known_is_not_known_where_the_water_alone_does_not_shut_it() -> None:
    found = windows(gate(GateKind.BAR, level_m=1.5, most_sea_m=2.0), setting(sea=constant(NAN)))

    assert not found.opens_at.size
    assert known(found, HIGH[1] - risen_to(2.9))  # too little water whatever the sea
    assert not known(found, HIGH[1])


def test_a_bar_whose_highest_sea_nobody_stated_is_open_in_no_sea_that_is_known() -> None:
    found = windows(gate(GateKind.BAR, level_m=1.5, most_sea_m=NAN), setting(sea=constant(0.1)))

    assert not found.opens_at.size
    assert known(found, HIGH[1] - risen_to(2.9))
    assert not known(found, HIGH[1])


def test_a_bar_shuts_while_the_sea_is_up() -> None:
    def rising(at: Array) -> Array:
        return np.where(np.asarray(at) < HIGH[1], 0.5, 1.5)

    found = windows(gate(GateKind.BAR, level_m=-5.0, most_sea_m=1.0), setting(sea=rising))

    assert found.closes_at == pytest.approx([HIGH[1]], abs=0.02)


def test_a_fixed_bridge_is_open_while_there_is_half_a_metre_over_her() -> None:
    found = windows(gate(GateKind.BRIDGE, fixed=True, level_m=7.0, keeps_hours=None), setting())

    assert found.closes_at[0] == pytest.approx(HIGH[1] - risen_to(3.5), abs=0.02)
    assert found.opens_at[1] == pytest.approx(HIGH[1] + risen_to(3.5), abs=0.02)


@pytest.mark.parametrize(
    ("fixed", "keeps_hours", "answer"), [(False, False, True), (None, False, None), (False, None, None)]
)
def test_a_lifting_bridge_needs_no_water_but_somebody_must_know_that_it_lifts(
    fixed: bool | None, keeps_hours: bool | None, answer: bool | None
) -> None:
    found = condition_of(gate(GateKind.BRIDGE, fixed=fixed, keeps_hours=keeps_hours, station=None), setting(tide=None))

    assert (None if found is None else bool(found(np.array([START]))[0])) == answer


def narrows(**parts: Any) -> Gate:
    return gate(GateKind.NARROWS, **({"stream": "skarn", "most_rate_mps": 3.0 * KNOT} | parts))


def test_narrows_are_open_for_exactly_the_pieces_in_which_the_stream_is_weak_enough() -> None:
    found = windows(narrows(), setting(stream=stream(5.0, 3.0, 3.001, 2.0, 4.0, 0.0)), START - HOUR, START + 7 * HOUR)

    assert found.opens_at == pytest.approx(START + np.array([1, 3, 5]) * HOUR, abs=0.02)
    assert found.closes_at == pytest.approx(START + np.array([2, 4, 6]) * HOUR, abs=0.02)
    assert found.dark_from == pytest.approx([START - HOUR, START + 6 * HOUR], abs=0.02)


def test_a_slack_of_a_minute_between_two_samples_is_not_missed() -> None:
    found = windows(
        narrows(), setting(stream=stream(*([4.0] * 37), 1.0, *([4.0] * 40), every_s=MINUTE)), START, START + HOUR
    )

    assert found.opens_at == pytest.approx([START + 37 * MINUTE], abs=0.02)
    assert found.closes_at == pytest.approx([START + 38 * MINUTE], abs=0.02)


def test_a_stream_that_is_not_known_for_a_while_is_not_known_and_not_weak() -> None:
    found = windows(narrows(), setting(stream=stream(1.0, NAN, 1.0)), START, START + 3 * HOUR)

    assert inside(found, START + np.array([0.5, 1.5, 2.5]) * HOUR).tolist() == [True, False, True]
    assert known(found, START + np.array([0.5, 1.5, 2.5]) * HOUR).tolist() == [True, False, True]


def epoch(text: str) -> float:
    return datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()


@pytest.mark.parametrize(
    ("zone", "day", "opens_h", "closes_h", "expected"),
    [
        ("Europe/Lisbon", "2027-06-01T00:00", 22, 4, [("2027-06-01T00:00", "2027-06-01T03:00"),
                                                      ("2027-06-01T21:00", "2027-06-02T00:00")]),
        # the night of 23 hours: 22:00 winter time is 22:00 UTC, 04:00 summer time is 03:00 UTC
        ("Europe/Lisbon", "2027-03-27T12:00", 22, 4, [("2027-03-27T22:00", "2027-03-28T03:00")]),
        # the night of 25 hours: 22:00 summer time is 21:00 UTC, 04:00 winter time is 04:00 UTC
        ("Europe/Lisbon", "2027-10-30T12:00", 22, 4, [("2027-10-30T21:00", "2027-10-31T04:00")]),
        ("Etc/GMT+12", "2027-06-01T12:00", 8, 17, [("2027-06-01T20:00", "2027-06-02T05:00")]),
        ("Etc/GMT-12", "2027-06-01T12:00", 8, 17, [("2027-06-01T20:00", "2027-06-02T05:00")]),
        ("Pacific/Kiritimati", "2027-06-01T12:00", 8, 17, [("2027-06-01T18:00", "2027-06-02T03:00")]),
        ("Pacific/Kiritimati", "2027-06-01T12:00", 22, 4, [("2027-06-01T12:00", "2027-06-01T14:00"),
                                                            ("2027-06-02T08:00", "2027-06-02T12:00")]),
        ("Pacific/Chatham", "2027-06-01T12:00", 8, 17, [("2027-06-01T19:15", "2027-06-02T04:15")]),
        ("Europe/Lisbon", "2027-06-01T00:00", 8, 24, [("2027-06-01T07:00", "2027-06-01T23:00")]),
        ("Europe/Lisbon", "2027-06-01T00:00", 0, 24, [("2027-06-01T00:00", "2027-06-02T00:00")]),
    ],
)  # fmt: skip
def test_a_keepers_hours_are_kept_by_the_clock_on_the_wall(
    zone: str, day: str, opens_h: float, closes_h: float, expected: list[tuple[str, str]]
) -> None:
    held = gate(
        GateKind.BRIDGE, fixed=False, keeps_hours=True, opens_local_s=opens_h * HOUR, closes_local_s=closes_h * HOUR
    )

    found = windows(held, setting(zone=zone), epoch(day), epoch(day) + DAY)

    assert found.opens_at == pytest.approx([epoch(opens) for opens, _ in expected], abs=0.02)
    assert found.closes_at == pytest.approx([epoch(closes) for _, closes in expected], abs=0.02)
    assert not found.dark_from.size


def test_water_and_keeper_must_both_be_there() -> None:
    day = epoch("2027-06-01T00:00")
    about = TideTable(np.array([day - 6 * HOUR, day, day + 6 * HOUR, day + 12 * HOUR, day + 18 * HOUR, day + 24 * HOUR]),
                      np.array([1.0, 5.0, 1.0, 5.0, 1.0, 5.0]), np.array([False, True] * 3))  # fmt: skip
    held = gate(
        GateKind.LOCK, before_s=2 * HOUR, after_s=2 * HOUR, keeps_hours=True, opens_local_s=12 * HOUR,
        closes_local_s=13 * HOUR + 1800,
    )  # fmt: skip

    found = windows(held, setting(tide=Tide(height=lambda at: np.zeros(np.shape(at)), events=about)), day, day + DAY)

    assert found.opens_at == pytest.approx([day + 11 * HOUR], abs=0.02)  # noon by the clock is 11:00 UTC
    assert found.closes_at == pytest.approx([day + 12 * HOUR + 1800], abs=0.02)
