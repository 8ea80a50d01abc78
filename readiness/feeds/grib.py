"""GRIB files, edition 1 and 2, taken in by way of a process that may die for us.

The file's own headers are read first and refused where they lie. Then a child with limits decodes it, and what it
says is counted against those headers. Either every field of the file comes back or none does.
"""

import os
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import msgspec
import numpy as np

from readiness.feeds.grib_label import (
    LAT_LON_TYPE,
    LENGTH_BYTES,
    VALUE_TYPE,
    Answer,
    FieldLabel,
    GridLabel,
)
from readiness.feeds.grib_sections import NOTHING, RawField, split
from vessel.errors import BadInput
from vessel.units import HOUR, Array

DECODER = (sys.executable, "-m", "readiness.feeds.grib_child")
HOME = Path(__file__).resolve().parents[2]
LONGEST_WAIT = 30.0  # s of clock time; the child's own limit is in seconds of work
KEPT_ENVIRONMENT = ("PATH", "LANG", "LD_LIBRARY_PATH", "SYSTEMROOT", "TMPDIR")


@dataclass(frozen=True, slots=True)
class GribField:
    """One field, labelled. `values` are [y, x] on rising axes when `regular`, else [point]; NaN where missing."""

    label: FieldLabel
    grid: GridLabel
    lat_deg: Array
    lon_deg: Array
    values: Array

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
    answer, numbers = _parted(_ask_child(data))
    if answer.refused:
        raise BadInput(answer.refused)
    _check_count(raw, answer)
    return GribFile(_fields(answer, numbers))


def _ask_child(data: bytes) -> bytes:
    # no secret of ours travels to a process that reads strangers' files
    environment = {name: os.environ[name] for name in KEPT_ENVIRONMENT if name in os.environ}
    try:
        done = subprocess.run(  # noqa: S603  our own interpreter and module; the file goes in as data
            DECODER,
            input=data,
            capture_output=True,
            timeout=LONGEST_WAIT,
            check=False,
            cwd=HOME,
            env={**environment, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
        )
    except subprocess.TimeoutExpired as error:
        raise BadInput(f"Reading this GRIB file took too long and was stopped. {NOTHING}") from error
    if done.returncode:
        raise BadInput(f"This GRIB file is damaged or too large: {_end(done.returncode)}. {NOTHING}")
    return done.stdout


def _end(status: int) -> str:
    names = {
        -signal.SIGXCPU: "reading it took too much work; ask for a smaller area or fewer times",
        -signal.SIGKILL: "reading it took too much work or memory; ask for a smaller area or fewer times",
        -signal.SIGSEGV: "the decoder broke down on it",
        -signal.SIGABRT: "the decoder gave it up",
    }
    return names.get(status, "the decoder could not finish it")


def _parted(said: bytes) -> tuple[Answer, memoryview]:
    length = int.from_bytes(said[:LENGTH_BYTES], "little")
    try:
        answer = msgspec.json.decode(said[LENGTH_BYTES : LENGTH_BYTES + length], type=Answer)
    except msgspec.MsgspecError as error:
        raise BadInput(f"This GRIB file is damaged: the decoder's answer makes no sense. {NOTHING}") from error
    return answer, memoryview(said)[LENGTH_BYTES + length :]


def _check_count(raw: tuple[RawField, ...], answer: Answer) -> None:
    """The decoder must give as many fields, each as long, as the file's own headers say."""
    whole = len(raw) == len(answer.fields) and all(
        (label.number, label.edition) == (each.number, each.edition) and each.points in {None, label.count}
        for label, each in zip(answer.fields, raw, strict=True)
    )
    if not whole:
        raise BadInput(f"This GRIB file holds {len(raw)} fields and {len(answer.fields)} could be read. {NOTHING}")


def _fields(answer: Answer, numbers: memoryview) -> tuple[GribField, ...]:
    at = 0

    def take(count: int, kind: str) -> Array:
        nonlocal at
        taken = np.frombuffer(numbers, kind, count, at)
        at += taken.nbytes
        return taken.astype(float)

    try:
        axes = [(take(grid.latitudes, LAT_LON_TYPE), take(grid.longitudes, LAT_LON_TYPE)) for grid in answer.grids]
        return tuple(
            _field(label, answer.grids[label.grid], axes[label.grid], take(label.count, VALUE_TYPE))
            for label in answer.fields
        )
    except (ValueError, IndexError) as error:
        raise BadInput(f"This GRIB file is damaged: the decoder's answer is cut short. {NOTHING}") from error


def _field(label: FieldLabel, grid: GridLabel, axes: tuple[Array, Array], values: Array) -> GribField:
    shaped = values.reshape(grid.rows, grid.columns) if grid.rows else values
    return GribField(label, grid, *axes, shaped)
