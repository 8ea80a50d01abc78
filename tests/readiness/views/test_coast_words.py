from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest

from readiness.models import Gate, Harbour, ShelterSector, StreamTable, TideStation
from readiness.views.coast_words import (
    gate_terms,
    known_to_us,
    of_day,
    price_words,
    shelter_words,
    station_terms,
    station_words,
    validity_words,
)
from vessel.units import HOUR, KNOT

FIT = {
    "first_at": "2027-03-01T00:00:00Z", "last_at": "2027-04-15T00:00:00Z", "observed_s": 45 * 86400.0, "count": 1080,
    "standard_deviation_m": 0.06, "within_95_m": 0.11, "largest_m": -0.21, "largest_at": "2027-03-20T04:00:00Z",
    "doubt_m": 0.12, "constants": [], "inferred": [], "not_fitted": ["K2", "P1"],
}  # fmt: skip


def open_when(**columns: Any) -> str:
    return dict(gate_terms(Gate(name="Gate", **columns)))["Open"]


@pytest.mark.parametrize(
    ("sectors", "words"),
    [
        ([], "not known"),
        ([(0.0, 360.0)], "all round"),
        ([(0.0, 90.0)], "winds from N (000°) through E (090°)"),
        (
            [(225.0, 360.0), (10.0, 20.0)],
            "winds from SW (225°) through N (000°); winds from N (010°) through NNE (020°)",
        ),
    ],
)
def test_shelter_is_told_by_the_winds_it_keeps_off(sectors: list[tuple[float, float]], words: str) -> None:
    assert shelter_words([ShelterSector(from_deg=start, to_deg=end) for start, end in sectors]) == words


def test_what_nobody_said_of_a_harbour_is_not_known() -> None:
    assert known_to_us(Harbour()) == "been in before: not known, lit: not known"
    assert known_to_us(Harbour(familiar=False, lit=True)) == "never been in, lit"
    assert price_words(Harbour(), "EUR") == "price of a night not known"
    assert price_words(Harbour(night_price=Decimal("1026.5")), "EUR") == "a night costs 1,026.50 EUR"
    assert price_words(Harbour(night_price=Decimal(0)), "") == "a night costs 0.00 (money not named)"


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ({"kind": "lock", "before_s": 3 * HOUR, "after_s": 2 * HOUR}, "from 3 h before high water until 2 h after"),
        ({"kind": "lock"}, "from not known before high water until not known after"),
        ({"kind": "lock", "before_s": 3 * HOUR, "after_s": 2 * HOUR, "free_flow_before_s": HOUR, "free_flow_after_s": 0.0},
         "from 3 h before high water until 2 h after; straight through from 1 h before high water until 0 s after"),
        ({"kind": "sill", "level_m": 1.6, "zero": "chart datum"},
         "while there is water enough over it, drying 1.6 m above chart datum"),
        ({"kind": "bar", "level_m": -0.6, "zero": "chart datum", "most_sea_m": 1.0},
         "while there is water enough over it, 0.6 m below chart datum, and the sea there is at most 1.0 m"),
        ({"kind": "sill"}, "while there is water enough over it, height not known"),
        ({"kind": "sill", "level_m": 1.6}, "while there is water enough over it, drying 1.6 m above a zero that is not known"),
        ({"kind": "bridge", "level_m": 4.0, "zero": "MHWS", "fixed": True}, "headroom 4.0 m above MHWS; never opens"),
        ({"kind": "bridge"}, "headroom not known above a zero that is not known; whether it opens is not known"),
        ({"kind": "narrows", "most_rate_mps": 2 * KNOT, "stream_table": StreamTable(name="Skarn")},
         "while the stream of Skarn is at most 2.0 kn"),
        ({"kind": "narrows"}, "while the stream of a stream table that is not known is at most not known"),
    ],
)  # fmt: skip
def test_each_kind_of_gate_tells_when_it_is_open(columns: dict[str, Any], words: str) -> None:
    assert open_when(**columns) == words


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ({}, "not known"),
        ({"keeps_hours": False}, "none kept"),
        ({"keeps_hours": True}, "kept, times not known"),
        ({"keeps_hours": True, "opens_local_s": 8.5 * HOUR, "closes_local_s": 0.0}, "08:30 to 00:00 by its own clock"),
    ],
)
def test_the_keepers_hours_are_told(columns: dict[str, Any], words: str) -> None:
    assert dict(gate_terms(Gate(kind="lock", **columns)))["Keeper's hours"] == words


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ({"kind": "lock", "last_entry_s": 900.0}, "15 min before it shuts"),
        ({"kind": "lock"}, "not known: by your limit for a lock"),
        ({"kind": "sill"}, None),
        ({"kind": "lock", "last_entry_s": 0.0}, None),
    ],
)
def test_the_last_entry_is_told_where_there_is_one(columns: dict[str, Any], words: str | None) -> None:
    assert dict(gate_terms(Gate(**columns))).get("Last entry") == words


def test_a_time_of_day_is_told_from_seconds() -> None:
    assert [of_day(seconds) for seconds in (0.0, 30600.0, 86340.0)] == ["00:00", "08:30", "23:59"]


def test_each_kind_of_station_is_told_in_words() -> None:
    reference = TideStation(name="Ostrel Haven", kind="harmonic constants")
    port = TideStation(kind="secondary port", reference=reference, differences={"form": "ratios"})

    assert station_words(TideStation(kind="printed table")) == "printed table of high and low waters"
    assert station_words(port).startswith("secondary port of Ostrel Haven by one difference in time and a ratio")
    assert station_words(TideStation(kind="fitted", fit=FIT)) == "fitted from 45 days of observations, 0.06 m left over"
    assert (
        station_words(TideStation(kind="fitted", fit={"odd": 1}))
        == "fitted from observations, what is left over is not known"
    )


def test_a_fitted_station_tells_how_far_it_may_be_out() -> None:
    terms = dict(station_terms(TideStation(kind="fitted", fit=FIT), None))

    assert terms["Heights may be out by"] == "0.12 m, as the weather was then"
    assert terms["Most left over"] == "−0.21 m, Sat 20 Mar 04:00 UTC"
    assert terms["Not fitted"] == "K2, P1"
    assert terms["Heights above"] == "not known, in metres"
    assert terms["Source"] == "not known"


def test_a_table_tells_how_far_it_reaches_and_when_its_figures_hold() -> None:
    first, last = datetime(2027, 1, 1, tzinfo=UTC), datetime(2027, 12, 31, tzinfo=UTC)
    terms = dict(station_terms(TideStation(kind="printed table", valid_from=first), (first, last)))

    assert terms["Reaches"] == "Fri 1 Jan 2027 to Fri 31 Dec 2027"
    assert terms["Holds"] == "from Fri 1 Jan 2027"
    assert terms["Differences applied"] == "not known"
    assert validity_words(TideStation(valid_from=first, valid_to=last)) == "from Fri 1 Jan 2027 until Fri 31 Dec 2027"
    assert validity_words(TideStation()) == "no end was set"
