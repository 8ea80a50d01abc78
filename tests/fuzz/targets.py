"""What is fuzzed: each reader with the small sound inputs the damage starts from."""

import gzip
import io
import json
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import dataclass

import rfc8785
from PIL import Image

from readiness.feeds.coastline import read_coastline
from readiness.feeds.forecast_csv import read_forecast
from readiness.feeds.forecast_echo import read_echo
from readiness.feeds.forecast_text import read_bulletin
from readiness.feeds.gpx import read_route
from readiness.feeds.grib_sections import split
from readiness.feeds.look import look_into
from readiness.feeds.stream_table import read_stream_table
from readiness.feeds.take_tide import read_either
from readiness.feeds.tide_differences import read_differences
from readiness.feeds.tide_series import read_series
from readiness.feeds.tide_station import read_station, station_notes
from readiness.feeds.warning import read_warnings
from readiness.rules.facts import decode, encode
from tests.factories.worked_example import worked_example
from tests.readiness.feeds.samples import grib, joined, message
from vessel.calc.position import parse_angle
from vessel.calc.quantity import SERIES_UNITS, parse_quantity
from vessel.feeds.handover import check_handover
from vessel.feeds.inflate import inflated

Read = Callable[[bytes], object]
GPX = b"""<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="50.1" lon="-4.2"><name>A</name></wpt>
<rte><name>Over &amp; back</name><rtept lat="50.1" lon="-4.2"><name>B</name></rtept><rtept lat="51" lon="179.9"/></rte>
<trk><trkseg><trkpt lat="1" lon="2"><time>2027-05-14T18:00:00Z</time></trkpt></trkseg></trk></gpx>
"""
FORECAST = b"""# issued 2027-05-14T16:00Z
time_utc, latitude, longitude, wind_kn, wind_from_deg, gust_kn, wave_height_m
2027-05-14T18:00Z, 50.1, -4.2, 14, 230, 19, 0.9
2027-05-14T19:00Z, 50.1, -4.2, 15, 235, 21,
2027-05-14T19:00Z, 50.2, -4.2, 15.5, 235, 21,"1.0"
"""
SEMICOLONS = (
    b"time_utc;latitude;longitude;gust_kn;mood\n2027-05-14T18:00Z;50,1;-4,2;20;fair\n2027-05-14T19:00Z;50,1;-4,2;;\n"
)
BULLETIN = b"""issued 2027-05-14T16:00Z
source coast radio
area Outer Sound, 49.5 N 6.0 W to 51.0 N 3.5 W
from 2027-05-14T18:00Z to 2027-05-15T06:00Z
wind southwest 4 or 5, increasing gale 8 at times soon, veering northwest 15-20 kn later
gusts 30 kn
sea moderate, occasionally very rough
swell west 2 to 3 m, 9 s
weather rain, thundery showers later
visibility good, occasionally poor
next 24 h
wind variable 3 or less
visibility 2 nmi to 5 nmi
"""
WARNINGS = b"""source coast radio
looked 2027-05-14T18:10Z
good to 2027-05-15T18:00Z
gale, Outer Sound, from 2027-05-14T20:00Z to 2027-05-15T06:00Z: southwest gale 8 expected soon
thunder, Inner Bay until 2027-05-15T06:00+02:00
"""
CONSTANTS = b"constituent,amplitude_m,phase_utc_deg\nM2,1.45,153.2\nS2,0.50,201.7\nK1,0.1,9\nO1,0.1,300\nM4,0.05,12\n"
HIGH_LOW = b"time_utc,height_m,type\n2027-05-15 00:10,4.1,H\n2027-05-15 06:20,1.0,L\n2027-05-15 12:35,4.2,H\n"
LOCAL = b"time_utcplus1;height_cm;type\n15/05/2027 00:10;410;HW\n15/05/2027 06:20;100;LW\n"
SERIES = b"time_utc,height_m\n2027-05-15T00:00Z,1.5\n2027-05-15T01:00Z,2.5\n2027-05-15T02:00Z,\n"
STATION = (
    b'{"name": "Kettle Bay", "timezone": "Europe/Lisbon", "mean_level_m": 2.5, "datum": "LAT", "unit": "cm",'
    b' "date_order": "day first"}'
)
DIFFERENCES = b"water,time_min,height_m\nhigh,12,0.3\nlow,-5,0.1\n"
COLUMNS = b"water,clock_utcplus1,time_min,reference_m,height_m\nH,00:00,35,,\nH,06:00,23,,\nH,,,4.2,0.3\nL,,10,,-0.1\n"
AS_KEPT = b'{"form": "ratios", "high_s": 4260, "low_s": 6780, "high_ratio": 0.55, "low_ratio": null}'
STREAM = b"""# name: Skarn Narrows
# reference: ostrel
# neaps_range_m: 2.1
# springs_range_m: 3.8
# latitude: 46 30.0 N
# longitude: 14 27.0 W
hours_from_hw,set_deg,neaps_kn,springs_kn
""" + b"".join(b"%d,090,0.8,2.1\n" % hour for hour in range(-6, 7))
ANGLES = (b"46 30.0 N", b"14 27.0 W", b"46.5", "46° 30′ 15″ N".encode(), b"N 46 30", b"-14.45")
COAST = b"""{"type": "FeatureCollection", "bbox": [-6, 49, -3, 51], "features": [{"type": "Feature", "properties": {},
"geometry": {"type": "Polygon", "coordinates": [[[-5, 50], [-4, 50], [-4, 50.5], [-5, 50]]]}}]}"""
CALENDAR = b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nSUMMARY:x\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
QUANTITIES = (
    b"20 in",
    b"2,5 l",
    b"1 1/2 UK pt",
    b"-3.5 degC",
    "−2 °F".encode(),
    b'5/8"',
    b"1,234",
    b"12 gal",
    b".5 l/h",
    b"7",
)


@dataclass(frozen=True, slots=True)
class Target:
    """A reader and its seeds. `may_die`: it loads a decoder that a file can kill, so it runs in a process of its own."""

    name: str
    read: Read | str
    seeds: Callable[[], tuple[bytes, ...]]
    may_die: bool = False


def _gribs() -> tuple[bytes, ...]:
    def plane(lat: float, lon: float) -> float:
        return lat + lon / 10

    def holed(lat: float, lon: float) -> float | None:
        return None if lon == -5 else lat

    wind = joined(grib(message("10u", plane)), grib(message("10v", holed)))
    return (
        wind,
        grib(message("10u", holed, edition=1), message("10v", plane, edition=1, scan=(0, 1, 1, 0))),
        grib(message("swh", plane, scan=(1, 0, 0, 1)), message("prmsl", lambda *_: 101_325.0)),
    )


def _pictures() -> tuple[bytes, ...]:
    made = []
    for kind in ("JPEG", "PNG", "WEBP"):
        out = io.BytesIO()
        Image.linear_gradient("L").resize((40, 30)).convert("RGB").save(out, kind)
        made.append(out.getvalue())
    return tuple(made)


def _handovers() -> tuple[bytes, ...]:
    entry = rfc8785.dumps({"number": 1, "noun": "handover", "changes": {}, "hash": "0" * 64, "previous_hash": ""})
    files = {
        "bag/bagit.txt": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        "bag/data/history.jsonl": entry + b"\n",
        "bag/data/head.json": b'{"number": 1, "hash": "' + b"0" * 64 + b'"}',
        "bag/manifest-sha256.txt": b"0" * 64 + b"  data/history.jsonl\n",
        "bag/tagmanifest-sha256.txt": b"0" * 64 + b"  bagit.txt\n",
    }
    bags = []
    for packing in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", packing) as bag:
            for name, content in files.items():
                bag.writestr(name, content)
        bags.append(out.getvalue())
    return tuple(bags)


def _facts() -> tuple[bytes, ...]:
    whole = encode(worked_example())
    short = json.loads(whole)
    short.pop("water", None)
    return whole, json.dumps(short).encode()


def _quantity(data: bytes) -> object:
    units = sorted(set(SERIES_UNITS.values()) - {"1"})
    return parse_quantity(data.decode("utf-8", "replace"), units[len(data) % len(units)])


def _angle(data: bytes) -> object:
    return parse_angle(data.decode("utf-8", "replace"), "latitude" if len(data) % 2 else "longitude")


def _as_answer(data: bytes) -> object:
    return inflated([data[:100], data[100:]], "gzip", 1_000_000)


def always(*seeds: bytes) -> Callable[[], tuple[bytes, ...]]:
    return lambda: seeds


TARGETS = (
    Target("gpx", read_route, always(GPX)),
    Target("grib_headers", split, _gribs),
    Target("grib_decoder", "readiness.feeds.grib_child.read_forecast", _gribs, may_die=True),
    Target("forecast_table", read_forecast, always(FORECAST, SEMICOLONS)),
    Target("bulletin", read_bulletin, always(BULLETIN)),
    Target("bulletin_echo", read_echo, always(BULLETIN)),
    Target("warnings", read_warnings, always(WARNINGS, b"no warnings in force\n")),
    Target("tide_file", read_either, always(CONSTANTS, HIGH_LOW, LOCAL)),
    Target("stream_table", read_stream_table, always(STREAM)),
    Target("tide_series", read_series, always(SERIES)),
    Target("tide_station", lambda data: station_notes(read_station(data)), always(STATION)),
    Target("tide_differences", read_differences, always(DIFFERENCES, COLUMNS, AS_KEPT)),
    Target("coastline", read_coastline, always(COAST)),
    Target(
        "look", lambda data: look_into(data, "it.x"), always(GPX, FORECAST, BULLETIN, CONSTANTS, HIGH_LOW, CALENDAR)
    ),
    Target("quantity", _quantity, lambda: QUANTITIES),
    Target("position", _angle, lambda: ANGLES),
    Target("facts", decode, _facts),
    Target("handover", lambda data: check_handover(io.BytesIO(data)), _handovers),
    Target("packed_answer", _as_answer, always(gzip.compress(FORECAST), zlib.compress(GPX))),
    Target("picture", "vessel.feeds.photo_child.redrawn", _pictures, may_die=True),
)
