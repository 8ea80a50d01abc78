"""A route as GPX 1.1, positions to seven decimals (a centimetre), with the planned time of each point.

Source of the format: [gpx11].
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime

from readiness.feeds.gpx import GpxPoint
from vessel.calc.wording import is_known
from vessel.errors import BadInput

DECIMALS = 7
NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def write_route(
    name: str | None, points: Sequence[GpxPoint], *, times: Sequence[float] = (), creator: str = "Legworthy"
) -> bytes:
    """One route as a file in UTF-8; `read_route` gives every name back, and every coordinate as it is written.

    `times`: UTC seconds since 1970 of each point, left out where not known. Raises BadInput for a coordinate off the
    globe or a character XML has no place for.
    """
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="{_escaped(creator)}">',
        "  <rte>",
        *_name_line(name, "    "),
    ]
    for place, point in enumerate(points):
        lines.append(f'    <rtept lat="{_decimal(point.lat, 90)}" lon="{_decimal(point.lon, 180)}">')
        lines.extend(_time_line(times[place]) if place < len(times) else [])  # the schema wants it before the name
        lines.extend(_name_line(point.name, "      "))
        lines.append("    </rtept>")
    return "\n".join([*lines, "  </rte>", "</gpx>", ""]).encode()


def _name_line(name: str | None, indent: str) -> list[str]:
    return [f"{indent}<name>{_escaped(name.strip())}</name>"] if name and name.strip() else []


def _time_line(epoch: float) -> list[str]:
    if not is_known(epoch):
        return []
    return [f"      <time>{datetime.fromtimestamp(round(epoch), UTC):%Y-%m-%dT%H:%M:%SZ}</time>"]


def _decimal(value: float, most: float) -> str:
    if not abs(value) <= most:
        raise BadInput(f"{value} is not a coordinate from -{most} to {most}. No file was written.")
    return f"{round(value, DECIMALS) + 0.0:.{DECIMALS}f}"


def _escaped(text: str) -> str:
    if NOT_XML.search(text):
        raise BadInput(f"{text[:40]!r} holds a character that XML has no place for. No file was written.")
    for character, entity in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("\r", "&#13;")):
        text = text.replace(character, entity)
    return text
