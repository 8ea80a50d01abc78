import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from readiness.calc.tide import TideTable, alternates, cosine_height, twelfths_height
from readiness.calc.tide_secondary import Differences, SecondaryPort, out_of_turn, secondary
from readiness.rules.tide_differences import port_of
from tests.factories.tide import MORE, epoch, outside_files, published_rows
from vessel.units import DAY, FOOT, HOUR, MINUTE, Array

PORTS = published_rows("tide_secondary_ports.csv")
ROUND = FOOT * 0.01


def one(late_s: float, more_m: float = 0.0, ratio: float = 1.0) -> Differences:
    return Differences(np.zeros(1), np.array([late_s]), np.zeros(1), np.array([more_m]), ratio)


def columns(clock_h: list[float], late_min: list[float], levels: list[float], more_m: list[float]) -> Differences:
    return Differences(np.array(clock_h) * HOUR, np.array(late_min) * MINUTE, np.array(levels), np.array(more_m))


def table(*events: tuple[str, float, bool]) -> TideTable:
    at, height, high = zip(*events, strict=True)
    return TideTable(np.array([epoch(each) for each in at]), np.array(height, float), np.array(high, bool))


def published_table(station: str) -> TideTable:
    rows = [row for row in published_rows("tide_secondary_high_low.csv") if row["station"] == station]
    return table(*((row["utc"], float(row["height_ft"]) * FOOT, row["type"] == "H") for row in rows))


def port_in(row: dict[str, str]) -> SecondaryPort:
    return port_of(
        {
            "form": "ratios",
            **{f"{water}_s": float(row[f"{water}_min"]) * MINUTE for water in ("high", "low")},
            **{f"{water}_ratio": float(row[f"{water}_ratio"]) for water in ("high", "low")},
        }
    )


def apart(official: TideTable, ours: TideTable) -> tuple[Array, Array]:
    """Seconds and metres between each official event and ours of the same kind nearest to it."""
    seconds, metres = [], []
    for at, height, high in zip(official.at, official.height_m, official.high, strict=True):
        same = np.flatnonzero(ours.high == high)
        nearest = same[np.argmin(np.abs(ours.at[same] - at))]
        seconds.append(ours.at[nearest] - at)
        metres.append(ours.height_m[nearest] - height)
    return np.array(seconds), np.array(metres)


def inside(official: TideTable, reference: TideTable, margin_s: float = 6 * HOUR) -> TideTable:
    """The official events so far inside the reference's that the one each comes from is among these."""
    kept = (official.at > reference.at[0] + margin_s) & (official.at < reference.at[-1] - margin_s)
    return TideTable(official.at[kept], official.height_m[kept], official.high[kept])


@pytest.mark.parametrize("row", PORTS, ids=lambda row: row["name"])
def test_a_port_by_ratios_is_the_official_one_to_the_minute_and_to_its_rounding(row: dict[str, str]) -> None:
    reference = published_table(row["reference"])
    official = inside(published_table(row["station"]), reference)

    seconds, metres = apart(official, secondary(reference, port_in(row)))

    assert official.at.size >= 12
    assert np.abs(seconds).max() == 0
    assert np.abs(metres).max() <= 1.5 * ROUND


@pytest.mark.parametrize("file", outside_files("secondary_ports/8*_hilo_*.csv"), ids=lambda file: file.name)
def test_all_weeks_present_are_the_official_ones(file: Path) -> None:
    with (MORE / "secondary_ports/offsets.csv").open(encoding="utf-8") as sheet:
        offsets = next(row for row in csv.DictReader(sheet) if row["station"] == file.name.split("_")[0])
    row = {f"{water}_min": offsets[f"time_offset_{water}_min"] for water in ("high", "low")}
    row |= {f"{water}_ratio": offsets[f"height_{water}"] for water in ("high", "low")}
    both = []
    for path in (next(MORE.glob(f"secondary_ports/REF_{offsets['reference_station']}_*")), file):
        with path.open(encoding="utf-8") as sheet:
            rows = list(csv.DictReader(sheet))
        both.append(table(*((r["utc"], float(r["height_ft_above_MLLW"]) * FOOT, r["type"] == "H") for r in rows)))

    for weeks in (both[1].at < epoch(f"2017-{month}-01T00:00Z") for month in ("02", "05", "08", "11")):
        last = both[1].at[weeks][-1]
        part = (both[1].at > last - 11 * DAY) & (both[1].at < last - 2 * DAY)
        official = TideTable(both[1].at[part], both[1].height_m[part], both[1].high[part])
        seconds, metres = apart(official, secondary(both[0], port_in(row)))

        assert official.at.size > 16
        assert np.abs(seconds).max() == 0
        assert np.abs(metres).max() <= 1.5 * ROUND


def test_a_port_by_columns_comes_out_as_in_the_training_example() -> None:
    """[secondary-columns]: high water 0638 of 4.2 m; columns 0000 and 1200 +35 min, 0600 and 1800 +23 min."""
    high = columns([0, 6, 12, 18], [35, 23, 35, 23], [4.2, 3.4], [1.1, 0.8])

    answer = secondary(table(("2026-05-04T06:38Z", 4.2, True)), SecondaryPort(high, one(0.0)))

    assert answer.height_m[0] == pytest.approx(5.3)
    assert round((answer.at[0] - epoch("2026-05-04T06:38Z")) / MINUTE, 1) == 24.3
    assert round((answer.at[0] - epoch("2026-05-04T00:00Z")) / MINUTE) == 7 * 60 + 2


def test_a_time_between_two_columns_comes_out_as_in_the_teaching_page() -> None:
    """[secondary-time]: 1500 +51 min, 2100 +44 min; high water 18:46 gives +47 min, 19:33."""
    high = columns([3, 9, 15, 21], [51, 44, 51, 44], [0.0], [0.0])

    answer = secondary(table(("2026-05-04T18:46Z", 5.0, True)), SecondaryPort(high, one(0.0)))

    assert round((answer.at[0] - epoch("2026-05-04T18:46Z")) / MINUTE) == 47


def test_a_port_by_ratio_and_the_height_at_a_time_come_out_as_in_the_course_notes() -> None:
    """[secondary-ratio]: 1111 10.0 ft, 1710 0.5 ft; low +2 min, both x 0.95; at 1400 5.0 ft by twelfths after 3 h.

    The notes take the fall from 11 h to 14 h as three of six hours; its true 2 h 49 min of 6 h 01 min give more.
    """
    reference = table(("2004-04-19T11:11Z", 10.0, True), ("2004-04-19T17:10Z", 0.5, False))

    answer = secondary(reference, SecondaryPort(one(0.0, ratio=0.95), one(120.0, ratio=0.95)))

    assert answer.height_m.tolist() == pytest.approx([9.5, 0.475])
    assert round(float(np.asarray(twelfths_height(answer, answer.at[0] + 3.0083333 * HOUR))), 1) == 5.0
    assert round(float(np.asarray(cosine_height(answer, epoch("2004-04-19T14:00Z")))), 2) == 5.44


def test_differences_in_time_run_round_midnight_on_the_clock_of_the_columns() -> None:
    high = columns([2, 22], [20, 0], [0.0], [0.0])
    midnight = table(("2026-05-04T00:00Z", 4.0, True))

    on_utc = secondary(midnight, SecondaryPort(high, one(0.0)))
    hour_ahead = secondary(midnight, SecondaryPort(high, one(0.0), clock_ahead_s=HOUR))

    assert on_utc.at[0] - midnight.at[0] == pytest.approx(10 * MINUTE)
    assert hour_ahead.at[0] - midnight.at[0] == pytest.approx(15 * MINUTE)


@pytest.mark.parametrize(("height", "more"), [(3.4, 0.8), (3.8, 0.95), (4.2, 1.1), (4.6, 1.25), (3.0, 0.65)], ids=str)
def test_differences_in_height_follow_one_line_between_and_beyond_springs_and_neaps(height: float, more: float) -> None:
    high = columns([0], [0], [4.2, 3.4], [1.1, 0.8])

    answer = secondary(table(("2026-05-04T06:00Z", height, True)), SecondaryPort(high, one(0.0)))

    assert answer.height_m[0] - height == pytest.approx(more)


def test_high_and_low_waters_take_their_own_differences() -> None:
    reference = table(("2026-05-04T06:00Z", 4.0, True), ("2026-05-04T12:00Z", 1.0, False))

    answer = secondary(reference, SecondaryPort(one(300.0, -0.1), one(600.0, 0.05)))

    assert (answer.at - reference.at).tolist() == [300.0, 600.0]
    assert (answer.height_m - reference.height_m).tolist() == pytest.approx([-0.1, 0.05])
    assert answer.high.tolist() == [True, False]


def test_a_height_difference_not_known_leaves_the_height_not_known_and_never_the_references() -> None:
    reference = table(("2026-05-04T06:00Z", 4.0, True), ("2026-05-04T12:00Z", 1.0, False))

    answer = secondary(reference, SecondaryPort(one(0.0, np.nan), one(0.0, 0.1)))
    by_ratio = secondary(reference, SecondaryPort(one(0.0, ratio=np.nan), one(0.0)))

    assert np.isnan(answer.height_m).tolist() == [True, False]
    assert np.isnan(by_ratio.height_m).tolist() == [True, False]
    assert np.isnan(cosine_height(answer, reference.at[0] + HOUR))


def test_a_time_difference_not_known_puts_its_events_last_with_no_time() -> None:
    reference = table(
        ("2026-05-04T06:00Z", 4.0, True), ("2026-05-04T12:00Z", 1.0, False), ("2026-05-04T18:30Z", 4.1, True)
    )

    answer = secondary(reference, SecondaryPort(one(np.nan), one(0.0)))

    assert answer.high.tolist() == [False, True, True]
    assert np.isnan(answer.at).tolist() == [False, True, True]
    assert np.isnan(np.asarray(cosine_height(answer, reference.at + HOUR))).all()


def test_one_column_not_known_leaves_only_the_times_beside_it_not_known() -> None:
    high = columns([0, 6, 12, 18], [35, np.nan, 35, 23], [0.0], [0.0])
    reference = table(("2026-05-04T05:00Z", 4.0, True), ("2026-05-04T17:25Z", 4.0, True))

    answer = secondary(reference, SecondaryPort(high, one(0.0)))

    assert np.isnan(answer.at).tolist() == [False, True]
    assert answer.at[0] > epoch("2026-05-04T17:25Z")


def test_events_that_change_places_are_sorted_and_found_out_of_turn() -> None:
    reference = table(
        ("2026-05-04T06:00Z", 4.0, True),
        ("2026-05-04T09:00Z", 3.0, False),
        ("2026-05-04T12:00Z", 4.2, True),
        ("2026-05-04T18:00Z", 1.0, False),
    )

    apart_ = secondary(reference, SecondaryPort(one(4 * HOUR), one(0.0)))
    plain = secondary(reference, SecondaryPort(one(0.0), one(0.0)))

    assert apart_.high.tolist() == [False, True, True, False]
    assert (np.diff(apart_.at) > 0).all()
    assert not alternates(apart_).all()
    assert np.asarray(out_of_turn(apart_)).tolist() == [epoch("2026-05-04T10:00Z")]
    assert np.asarray(out_of_turn(plain)).size == 0


def test_events_of_no_known_height_are_not_called_out_of_turn() -> None:
    reference = table(("2026-05-04T06:00Z", np.nan, True), ("2026-05-04T12:00Z", 1.0, False))

    assert np.asarray(out_of_turn(reference)).size == 0


def test_the_reference_is_left_as_it_was() -> None:
    reference = table(("2026-05-04T06:00Z", 4.0, True))
    before = replace(reference, at=reference.at.copy(), height_m=reference.height_m.copy())

    secondary(reference, SecondaryPort(one(60.0, 1.0), one(0.0)))

    assert reference.at == before.at
    assert reference.height_m == before.height_m
