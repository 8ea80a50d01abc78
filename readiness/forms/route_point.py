"""One point of a route and the segment from it to the next, as they are typed."""

from typing import Any

from django import forms

from readiness.calc.track import distance_m
from readiness.models import LegPoint, LegSegment
from readiness.queries.route import Ties
from readiness.rules.telling import listed
from readiness.rules.words_of_trade import StreamBy, TrackKind
from vessel.calc.position import latitude, longitude
from vessel.calc.wording import miles
from vessel.forms.known import MEANT, WORD_FOR, YES_OR_NO
from vessel.forms.plain import PlainForm
from vessel.forms.quantity import AngleField, QuantityField
from vessel.units import NAUTICAL_MILE

DEPTH = [("", "not known"), ("yes", "matters"), ("no", "deep by the chart")]
KINDS = [(TrackKind.RHUMB.value, "rhumb line"), (TrackKind.GEODESIC.value, "shortest line")]
STREAM_WORDS = [("", "not known"), (StreamBy.NEAREST.value, "the nearest table"),
                (StreamBy.BETWEEN.value, "between the tables on both sides")]  # fmt: skip
TIED = {"charted_m": "depth", "station": "tide", "gate": "gate"}
MOVED_M = 200.0  # a point moved farther than this is another place for its depth [own]
FILLED_M, FILLED_DEG = 1.0, 0.5  # a stored shore as near as this to the coastline's was filled in from it


class RoutePointForm(PlainForm):
    """`exact` carries the position to more places than are shown: what was not touched is not rounded."""

    name = forms.CharField(
        label="Name", max_length=120, error_messages={"required": "Name the point, such as: Skarn, in."}
    )
    lat = AngleField(
        axis="latitude", label="Latitude", error_messages={"required": "Write it like 46 30.5 N."}, help_text=""
    )
    lon = AngleField(
        axis="longitude", label="Longitude", error_messages={"required": "Write it like 14 12.3 W."}, help_text=""
    )
    exact = forms.CharField(required=False, max_length=60, widget=forms.HiddenInput)
    charted_m = QuantityField(unit="m", label="Charted depth", required=False)
    depth = forms.ChoiceField(label="Depth", choices=DEPTH, required=False)
    station = forms.ChoiceField(label="Tide station", required=False)
    gate = forms.ChoiceField(label="Gate", required=False)
    segment_name = forms.CharField(label="Name of the segment", max_length=160, required=False)
    kind = forms.ChoiceField(label="Line", choices=KINDS, required=False)
    stream = forms.ChoiceField(label="Stream", required=False)
    exposed = forms.ChoiceField(label="Exposed", choices=YES_OR_NO, required=False)
    crosses_bar = forms.ChoiceField(label="Crosses a bar", choices=YES_OR_NO, required=False)
    shore_m = QuantityField(unit="nmi", per=NAUTICAL_MILE, least=0, label="Shore off", required=False)
    shore_to_deg = forms.FloatField(
        label="Shore bears", min_value=0, max_value=360, required=False, widget=forms.TextInput
    )

    def __init__(self, *args: Any, ties: Ties, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.ties = ties
        self._offer("station", [(str(pk), row.name) for pk, row in ties.stations.items()])
        self._offer("gate", [(str(pk), row.name) for pk, row in ties.gates.items()], nothing="none")
        tables = [(f"table {pk}", row.name) for pk, row in ties.tables.items()]
        self.fields["stream"].choices = [*STREAM_WORDS, *tables]  # type: ignore[attr-defined]

    def _offer(self, name: str, choices: list[tuple[str, str]], nothing: str = "not known") -> None:
        self.fields[name].choices = [("", nothing), *choices]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given: dict[str, Any] = super().clean() or {}
        if given.get("shore_to_deg") is not None and given.get("shore_m") is None and "shore_m" not in self.errors:
            self.add_error("shore_m", "Say how far off the shore lies that bears so.")
        lat, lon = given.get("lat"), given.get("lon")
        if lat is not None and lon is not None:
            given["lat"], given["lon"] = self._exact(lat, lon, given.get("exact", ""))
        return given

    def _exact(self, lat: float, lon: float, exact: str) -> tuple[float, float]:
        """The position to all its places, where the text still is the one it was shown as."""
        kept = _two(exact)
        typed = [str(self[name].value()) for name in ("lat", "lon")]
        return kept if kept and typed == [latitude(kept[0]), longitude(kept[1])] else (lat, lon)

    def position(self) -> tuple[float, float] | None:
        """Latitude and longitude, None where they cannot be read yet."""
        given = getattr(self, "cleaned_data", {})
        lat, lon = given.get("lat"), given.get("lon")
        return None if lat is None or lon is None else (lat, lon)

    def moved(self) -> str:
        """What to ask of a point that was moved away from where its depth, tide or gate was typed; "" for nothing."""
        given, kept = getattr(self, "cleaned_data", {}), _two(self["exact"].value() or "")
        tied = [word for name, word in TIED.items() if given.get(name) not in (None, "")]
        there = self.position()
        if kept is None or there is None or not tied:
            return ""
        off = float(distance_m(*kept, *there))
        return (
            f"moved {miles(off)}. Typed for the old place: {listed(tied)}. Does that still hold?"
            if off > MOVED_M
            else ""
        )

    def point(self) -> dict[str, Any]:
        """The columns of the point, for the deed."""
        given = self.cleaned_data
        return {
            "name": given["name"], "lat_deg": given["lat"], "lon_deg": given["lon"], "charted_m": given["charted_m"],
            "depth_matters": MEANT[given["depth"]], "tide_station": self._tied("station", self.ties.stations),
            "gate": self._tied("gate", self.ties.gates),
        }  # fmt: skip

    def segment(self, shore: tuple[float | None, float | None]) -> dict[str, Any]:
        """The columns of the segment, for the deed; `shore` stands where none is typed."""
        given, word = self.cleaned_data, self.cleaned_data["stream"]
        by_place = word in {StreamBy.NEAREST.value, StreamBy.BETWEEN.value}
        typed = (given["shore_m"], given["shore_to_deg"])
        shore_m, shore_to_deg = typed if typed[0] is not None else shore
        named = {"name": given["segment_name"]} if given["segment_name"] else {}
        return {
            **named, "kind": given["kind"] or TrackKind.RHUMB.value, "exposed": MEANT[given["exposed"]],
            "crosses_bar": MEANT[given["crosses_bar"]], "stream_by": word if by_place else StreamBy.NAMED.value,
            "stream_table": self.ties.tables[int(word.split()[1])] if word and not by_place else None,
            "shore_m": shore_m, "shore_to_deg": shore_to_deg,
        }  # fmt: skip

    def _tied(self, name: str, rows: Any) -> Any:
        picked = self.cleaned_data[name]
        return rows[int(picked)] if picked else None


def _two(exact: str) -> tuple[float, float] | None:
    """A position carried along; None where the text holds none."""
    try:
        lat, lon = (float(part) for part in exact.split())
    except ValueError:
        return None
    return (lat, lon) if abs(lat) <= 90 and abs(lon) <= 180 else None


def filled(point: LegPoint, segment: LegSegment | None, next_name: str, shore: tuple[float, float]) -> dict[str, Any]:
    """What the form shows of a stored point; `shore` is what the coastline says of the segment, left out if the same."""
    words: dict[str, Any] = {
        "name": point.name, "lat": point.lat_deg, "lon": point.lon_deg,
        "exact": f"{point.lat_deg!r} {point.lon_deg!r}", "charted_m": point.charted_m,
        "depth": WORD_FOR[point.depth_matters], "station": point.tide_station_id or "", "gate": point.gate_id or "",
    }  # fmt: skip
    if segment is None:
        return words
    own_name = segment.name != f"{point.name} to {next_name}"
    typed = segment.shore_m is not None and not _as_filled(segment, shore)
    return words | {
        "segment_name": segment.name if own_name else "", "kind": segment.kind, "exposed": WORD_FOR[segment.exposed],
        "crosses_bar": WORD_FOR[segment.crosses_bar], "stream": _stream(segment),
        "shore_m": segment.shore_m if typed else None, "shore_to_deg": segment.shore_to_deg if typed else None,
    }  # fmt: skip


def _stream(segment: LegSegment) -> str:
    if segment.stream_by != StreamBy.NAMED:
        return segment.stream_by
    return f"table {segment.stream_table_id}" if segment.stream_table_id else ""


def _as_filled(segment: LegSegment, shore: tuple[float, float]) -> bool:
    off, toward = (abs((stored if stored is not None else float("nan")) - drawn)
                   for stored, drawn in zip((segment.shore_m, segment.shore_to_deg), shore, strict=True))  # fmt: skip
    return off <= FILLED_M and min(toward, 360.0 - toward) <= FILLED_DEG
