"""Tides of the facts as the sums want them."""

from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.calc.tide import Harmonics, harmonic_height
from readiness.rules.facts_water import Station
from readiness.rules.passage import Tide
from readiness.rules.record import epochs, moment
from readiness.rules.tides import fit_to_use, tide_of
from readiness.rules.words_of_trade import StationKind
from tests.factories.tide import demo_harmonics, epoch
from tests.factories.worked_example import worked_example
from vessel.units import DAY, HOUR, MINUTE

START = epoch("2027-04-22T00:00Z")
END = START + 3 * DAY


def table(**parts: Any) -> Station:
    return replace(worked_example(1).water.stations[0], **parts)


def with_constants(**parts: Any) -> Station:
    made_up = demo_harmonics()
    return table(
        kind=StationKind.HARMONIC,
        constituents=made_up.constituents,
        amplitude_m=made_up.amplitude_m,
        phase_utc_deg=made_up.phase_utc_deg,
        speed_deg_per_h=made_up.speed_deg_per_h,
        mean_level_m=made_up.mean_level_m,
        **parts,
    )


def tide(station: Station) -> Tide:
    found = tide_of(station, START, END)
    assert found is not None
    return found


def test_constants_give_heights_to_a_tenth_of_a_millimetre_for_the_whole_span() -> None:
    at = START + np.arange(0, 3 * DAY, 97.0)

    height = np.asarray(tide(with_constants()).height(at))

    np.testing.assert_allclose(height, np.asarray(harmonic_height(demo_harmonics(), at)), atol=1e-4)


def test_constants_of_an_agency_with_weakened_node_factors_are_foretold_with_these() -> None:
    at = START + np.arange(0, 3 * DAY, 3600.0)
    names, size = ("M2", "N2"), np.array([1.75, 0.3])
    parts: Any = {"constituents": names, "amplitude_m": size, "phase_utc_deg": np.zeros(2),
                  "speed_deg_per_h": np.full(2, np.nan)}  # fmt: skip
    weakened = Harmonics(names, size, np.zeros(2), np.full(2, np.nan), 2.6, np.array([0.53, 0.0]))

    theirs = tide(replace(with_constants(source="Rijkswaterstaat, 2026"), **parts))
    plain = tide(replace(with_constants(source="another"), **parts))

    np.testing.assert_allclose(np.asarray(theirs.height(at)), np.asarray(harmonic_height(weakened, at)), atol=1e-4)
    assert np.abs(np.asarray(plain.height(at)) - np.asarray(theirs.height(at))).max() > 0.01


def test_heights_are_known_exactly_at_both_ends_of_their_validity_and_not_beyond() -> None:
    first, last = START + 10 * HOUR + 17.0, START + 40 * HOUR + 17.0
    station = with_constants(valid_from=moment(first), valid_to=moment(last))

    height = np.asarray(tide(station).height(np.array([first - 1, first, last, last + 1])))

    assert np.isnan(height).tolist() == [True, False, False, True]


def test_high_and_low_waters_outside_the_validity_are_not_there() -> None:
    first, last = START + 10 * HOUR, START + 40 * HOUR

    events = tide(with_constants(valid_from=moment(first), valid_to=moment(last))).events

    assert events.at.size >= 4
    assert events.at.min() >= first
    assert events.at.max() <= last


def test_constants_valid_at_no_time_of_the_span_give_no_tide() -> None:
    assert tide_of(with_constants(valid_to=moment(START)), START, END) is None
    assert tide_of(with_constants(valid_from=moment(END)), START, END) is None


def test_a_printed_table_ends_where_its_validity_does() -> None:
    held = table()
    at = epochs(held.event_at)
    ended = table(valid_to=held.event_at[3] + timedelta(minutes=1))

    whole, cut = tide(held), tide(ended)

    after = at[3] + 30 * MINUTE
    assert np.isfinite(whole.height(after))
    assert np.isnan(cut.height(after))
    assert cut.events.at.tolist() == at[:4].tolist()


@pytest.mark.parametrize("end", ["valid_from", "valid_to"])
def test_figures_of_which_nobody_knows_how_long_they_hold_are_not_used(end: str) -> None:
    lost = with_constants(**{end: None})

    assert fit_to_use(lost) == "when its figures hold"
    assert tide_of(lost, START, END) is None
