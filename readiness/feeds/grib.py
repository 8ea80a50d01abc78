"""GRIB files, edition 1 and 2, taken in by way of a process that may die for us.

The file's own headers are read first and refused where they lie. Then a limited process decodes it, and what it
says is counted against those headers. Either every field of the file comes back or none does.
"""

from dataclasses import dataclass

from readiness.feeds.grib_label import Answer, FieldLabel, GridLabel, Singles
from readiness.feeds.grib_sections import NOTHING, RawField, split
from vessel.errors import BadInput
from vessel.feeds.limited import Reader
from vessel.units import HOUR, Array

DECODE = Reader(
    path="readiness.feeds.grib_child.decode",
    gives=Answer,
    what="GRIB file",
    advice="ask for a smaller area or fewer times",
)


@dataclass(frozen=True, slots=True)
class GribField:
    """One field, labelled. `values` are [y, x] on rising axes when `regular`, else [point]; NaN where missing."""

    label: FieldLabel
    grid: GridLabel
    lat_deg: Array
    lon_deg: Array
    values: Singles

    @property
    def regular(self) -> bool:
        """Whether it lies on rows of latitude and columns of longitude."""
        return self.grid.rows > 0

    @property
    def step_h(self) -> float:
        """Hours from the start of the run to the time it is valid."""
        return (self.label.valid_time - self.label.data_time) / HOUR


@dataclass(frozen=True, slots=True)
class GribFile:
    """Every field of the file, in its order."""

    fields: tuple[GribField, ...]


def read_grib(data: bytes) -> GribFile:
    """Read a GRIB file, edition 1 or 2. Raises BadInput with one sentence; a file is taken whole or not at all."""
    raw = split(data)
    return whole(DECODE(data), raw)


def whole(answer: Answer, raw: tuple[RawField, ...]) -> GribFile:
    """The decoder's answer as a file. Raises BadInput unless it gives as many fields, each as long, as the headers say."""
    complete = len(raw) == len(answer.fields) == len(answer.values) and all(
        (label.number, label.edition) == (each.number, each.edition)
        and each.points in {None, label.count}
        and label.count == values.size
        for label, values, each in zip(answer.fields, answer.values, raw, strict=True)
    )
    if not complete:
        raise BadInput(f"This GRIB file holds {len(raw)} fields and {len(answer.fields)} could be read. {NOTHING}")
    return GribFile(
        tuple(_field(label, values, answer) for label, values in zip(answer.fields, answer.values, strict=True))
    )


def _field(label: FieldLabel, values: Singles, answer: Answer) -> GribField:
    grid = answer.grids[label.grid]
    shaped = values.reshape(grid.rows, grid.columns) if grid.rows else values
    return GribField(label, grid, *answer.axes[label.grid], shaped)
