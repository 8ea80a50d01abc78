"""The invented coast: tides phased to the day the demo is loaded, streams, harbours and gates."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from readiness.actions.coast import add_gate, add_harbour, add_stream_table, add_tide_station
from readiness.calc.tide import Harmonics, harmonic_height, high_low_of
from readiness.calc.track import rhumb_forward
from readiness.management.demo.moment import ZONE, DemoMoment
from readiness.models import Gate, Harbour, StreamTable, TideStation
from vessel.actions.author import By
from vessel.models import Vessel
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

LATITUDE, WEST_END = 46.5, -15.0
MEAN_LEVEL_M = 2.60
AMPLITUDES = {"M2": 1.45, "S2": 0.50}
HIGH_WATER_AFTER_S = 7.4 * HOUR  # high water so long after the planned departure: her lock is open when she comes
LEVELS = {
    "mean high water springs": 4.55, "mean high water neaps": 3.55, "mean low water neaps": 1.65,
    "mean low water springs": 0.65,
}  # fmt: skip
BRANNOW_DIFFERENCES = {
    "form": "columns",
    "clock_ahead_s": 0.0,
    "high": {
        "clock_s": [0.0, 21600.0, 43200.0, 64800.0], "late_s": [240.0, 360.0, 240.0, 360.0],
        "reference_m": [4.55, 3.55], "more_m": [-0.2, -0.1],
    },
    "low": {
        "clock_s": [0.0, 21600.0, 43200.0, 64800.0], "late_s": [660.0, 540.0, 660.0, 540.0],
        "reference_m": [0.65, 1.65], "more_m": [0.1, 0.0],
    },
}  # fmt: skip
AFTER_NEAPS_DEG = 24.4  # a day after neaps
PHASED = "Made-up constants, phased to the day the demo was loaded: no tide of any real place."
INVENTED = "invented for the demo"


@dataclass(frozen=True)
class Coast:
    """The rows of the coast by key."""

    stations: dict[str, TideStation]
    streams: dict[str, StreamTable]
    harbours: dict[str, Harbour]
    gates: dict[str, Gate]


def place_at(mile: float, south_miles: float = 0.0) -> tuple[float, float]:
    """Latitude and longitude of a mile counted east from Ostrel Haven, and so many miles off to the south."""
    lat_deg, lon_deg = rhumb_forward(LATITUDE, WEST_END, 90.0, mile * NAUTICAL_MILE)
    return round(float(lat_deg) - south_miles / 60, 5), round(float(lon_deg), 5)


def demo_coast(vessel: Vessel, moment: DemoMoment, by: By, at: datetime) -> Coast:
    """Write the coast down for one vessel."""
    stations = _stations(vessel, moment, by, at)
    harbours, streams = _harbours(vessel, stations, by, at), _streams(vessel, stations["ostrel"], by, at)
    return Coast(
        stations=stations,
        streams=streams,
        harbours=harbours,
        gates=_gates(vessel, stations, streams, harbours, by, at),
    )


def phased(moment: DemoMoment) -> Harmonics:
    """Two constituents with high water where the demo wants it, phases to a tenth of a degree."""
    wanted = moment.planned.timestamp() + HIGH_WATER_AFTER_S
    shift = 0.0
    for _ in range(3):  # the sum peaks a little beside the larger wave: shift until it peaks where it should
        harmonics = _at_phase(wanted + shift)
        events = high_low_of(harmonics, wanted - 6 * HOUR, wanted + 6 * HOUR)
        highs = events.at[events.high]
        shift += wanted - float(highs[np.argmin(np.abs(highs - wanted))])
    return harmonics


def _at_phase(peak_at: float) -> Harmonics:
    """Constants with which the larger wave peaks at a moment and the smaller one nearly against it."""
    behind = {"M2": 0.0, "S2": 180.0 + AFTER_NEAPS_DEG}
    phases = [round((_argument(name, peak_at) - behind[name]) % 360.0, 1) for name in AMPLITUDES]
    return _harmonics(tuple(AMPLITUDES), list(AMPLITUDES.values()), phases)


def _argument(name: str, at: float) -> float:
    """The astronomical argument of a constituent at a moment, degrees."""
    cosine, sine = (
        float(harmonic_height(_harmonics((name,), [1.0], [phase], level_m=0.0), at)) for phase in (0.0, 90.0)
    )
    return float(np.degrees(np.arctan2(sine, cosine)))


def _harmonics(
    names: tuple[str, ...], amplitudes: list[float], phases: list[float], level_m: float = MEAN_LEVEL_M
) -> Harmonics:
    return Harmonics(
        constituents=names,
        amplitude_m=np.array(amplitudes),
        phase_utc_deg=np.array(phases),
        speed_deg_per_h=np.full(len(names), np.nan),
        mean_level_m=level_m,
    )


def _stations(vessel: Vessel, moment: DemoMoment, by: By, at: datetime) -> dict[str, TideStation]:
    harmonics = phased(moment)
    constants = [
        {"name": name, "amplitude_m": amplitude, "phase_utc_deg": float(phase), "speed_deg_per_h": None}
        for name, amplitude, phase in zip(
            harmonics.constituents, AMPLITUDES.values(), harmonics.phase_utc_deg, strict=True
        )
    ]
    same: dict[str, Any] = {"vessel": vessel, "by": by, "at": at, "datum": "chart datum"}
    ostrel = add_tide_station(
        key="ostrel", name="Ostrel Haven", kind="harmonic constants", source=PHASED, mean_level_m=MEAN_LEVEL_M,
        constants=constants, levels=LEVELS, **same,
    )  # fmt: skip
    brannow = add_tide_station(
        key="brannowmouth", name="Brannowmouth", kind="secondary port", source=f"Differences {INVENTED}.",
        reference=ostrel, differences=BRANNOW_DIFFERENCES, **same,
    )  # fmt: skip
    morrowick = add_tide_station(
        key="morrowick", name="Morrowick, printed table", kind="printed table", differences_applied=True,
        source="Made-up table, printed from the demo's own constants and phased with them.",
        events=_printed(harmonics, moment), **same,
    )  # fmt: skip
    return {"ostrel": ostrel, "brannowmouth": brannow, "morrowick": morrowick}


def _printed(harmonics: Harmonics, moment: DemoMoment) -> list[tuple[datetime, float, bool]]:
    """A table from a week before to eight weeks after, printed to the minute and the centimetre."""
    start, end = moment.now - timedelta(days=7), moment.now + timedelta(days=56)
    events = high_low_of(harmonics, start.timestamp(), end.timestamp())
    whole_minutes = np.round(events.at / 60) * 60
    return [
        (datetime.fromtimestamp(float(when), moment.now.tzinfo), round(float(height), 2), bool(high))
        for when, height, high in zip(whole_minutes, events.height_m, events.high, strict=True)
    ]


def _streams(vessel: Vessel, station: TideStation, by: By, at: datetime) -> dict[str, StreamTable]:
    same: dict[str, Any] = {"vessel": vessel, "by": by, "at": at, "source": INVENTED}
    tables = {
        key: add_stream_table(
            key=key, name=name, steady=True, rows=[_row(0.0, set_deg, rate, rate)], **_observed(mile), **same
        )
        for key, name, mile, set_deg, rate in (
            ("ostrel-bay", "Ostrel bay", 7, 90.0, 0.6),
            ("brannow-flats", "Off the Brannow flats", 18, 270.0, 0.4),
            ("hallorn-reach", "Hallorn reach", 34, 90.0, 0.5),
            ("thole-shore", "Thole shore", 44, 90.0, 0.2),
        )
    }
    rows = [_row(-6.5, 90.0, 1.5, 4.0), _row(-5.0, 270.0, 1.5, 4.0), _row(-0.5, 90.0, 1.5, 4.0)]
    tables["skarn"] = add_stream_table(
        key="skarn", name="Skarn Narrows", steady=False, tide_station=station, neaps_range_m=2.1, springs_range_m=3.8,
        rates_held_beyond=True, rows=rows, **_observed(26), **same,
    )  # fmt: skip
    return tables


def _observed(mile: float) -> dict[str, Any]:
    lat_deg, lon_deg = place_at(mile)
    return {"lat_deg": lat_deg, "lon_deg": lon_deg}


def _row(hours: float, set_deg: float, neaps_kn: float, springs_kn: float) -> dict[str, float]:
    return {
        "from_high_water_s": hours * HOUR,
        "set_deg": set_deg,
        "rate_neaps_mps": neaps_kn * KNOT,
        "rate_springs_mps": springs_kn * KNOT,
    }


ALL_ROUND = ((0.0, 360.0),)
# key, name, mile, miles to the south, depth at the berth below datum, tide station, shelter, familiar, lit, a night
HARBOURS: tuple[tuple[str, str, float, float, float, str, tuple[tuple[float, float], ...], bool, bool, int], ...] = (
    ("ostrel-haven", "Ostrel Haven", 0, 0, 2.2, "ostrel", ALL_ROUND, True, True, 0),
    ("brannowmouth", "Brannowmouth", 14, 0, 1.8, "brannowmouth", ALL_ROUND, True, True, 18),
    ("ledrick-quay", "Ledrick Quay", 19, -3, -0.9, "ostrel", ALL_ROUND, False, False, 12),
    ("hallorn-pool", "Hallorn Pool", 29, 0, 2.5, "ostrel", ALL_ROUND, True, False, 22),
    ("thole-bight", "Thole Bight", 40, 0, 3.0, "ostrel", ((0.0, 90.0),), False, False, 0),
    ("morrowick-basin", "Morrowick Basin", 48, 0, 2.8, "morrowick", ALL_ROUND, True, True, 26),
    ("vessary-roads", "Vessary Roads", 48, 2, 4.0, "morrowick", ((225.0, 360.0),), False, False, 0),
)
REFUGES = ("brannowmouth", "hallorn-pool", "thole-bight", "vessary-roads")


def _harbours(vessel: Vessel, stations: dict[str, TideStation], by: By, at: datetime) -> dict[str, Harbour]:
    made = {}
    for key, name, mile, south, charted_m, station, shelter, familiar, lit, price in HARBOURS:
        lat_deg, lon_deg = place_at(mile, south)
        made[key] = add_harbour(
            vessel=vessel, by=by, at=at, key=key, name=name, zone=ZONE, lat_deg=lat_deg, lon_deg=lon_deg,
            charted_m=charted_m, tide_station=stations[station], shelter=shelter, familiar=familiar, lit=lit,
            night_price=price, source=INVENTED,
        )  # fmt: skip
    return made


def _gates(
    vessel: Vessel,
    stations: dict[str, TideStation],
    streams: dict[str, StreamTable],
    harbours: dict[str, Harbour],
    by: By,
    at: datetime,
) -> dict[str, Gate]:
    lock = {"before_s": 3 * HOUR, "after_s": 2 * HOUR, "last_entry_s": 900.0}
    asked: tuple[tuple[str, str, str, str, str, dict[str, Any]], ...] = (
        ("brannow-bar", "Brannow bar", "bar", "brannowmouth", "brannowmouth", {"level_m": -0.6, "most_sea_m": 2.0, "hands": 0}),
        ("ledrick-gate", "Ledrick river gate", "lock", "ledrick-quay", "ostrel",
         {"before_s": 2.5 * HOUR, "after_s": 2.5 * HOUR, "last_entry_s": 0.0, "hands": 1}),
        ("ledrick-bridge", "Ledrick road bridge", "bridge", "ledrick-quay", "ostrel",
         {"level_m": 6.4, "zero": "mean high water springs", "fixed": True, "hands": 0}),
        ("hallorn-sill", "Hallorn sill", "sill", "hallorn-pool", "ostrel", {"level_m": 1.6, "hands": 0}),
        ("morrowick-lock", "Morrowick lock", "lock", "morrowick-basin", "morrowick",
         {**lock, "hands": 2, "wait_place": harbours["vessary-roads"]}),
    )  # fmt: skip
    skarn = add_gate(
        vessel=vessel, by=by, at=at, key="skarn-narrows", name="Skarn Narrows", kind="narrows", zone=ZONE,
        stream_table=streams["skarn"], most_rate_mps=3.5 * KNOT, keeps_hours=False, hands=0, source=INVENTED,
    )  # fmt: skip
    return {
        key: add_gate(
            vessel=vessel, by=by, at=at, key=key, name=name, kind=kind, harbour=harbours[harbour],
            tide_station=stations[station], keeps_hours=False, source=INVENTED,
            **({"zero": "chart datum"} if "level_m" in more else {}) | more,
        )
        for key, name, kind, harbour, station, more in asked
    } | {"skarn-narrows": skarn}  # fmt: skip
