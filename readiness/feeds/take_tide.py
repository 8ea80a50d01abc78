"""A tide file as one record, whichever of the two kinds it is, as it comes out of the limited process."""

from collections.abc import Mapping
from dataclasses import dataclass

from readiness.feeds.tide_answer import TideFile
from readiness.feeds.tide_table import HighLowFile, StationFile, read_tide


@dataclass(frozen=True, slots=True, eq=False)
class TideRead:
    """One of the two is there."""

    constants: StationFile | None
    table: HighLowFile | None

    @property
    def file(self) -> TideFile:
        """The one that is there."""
        if self.constants is not None:
            return self.constants
        if self.table is None:
            raise ValueError("neither constants nor a table")
        return self.table


def read_either(data: bytes, *, station: Mapping[str, object] | None = None) -> TideRead:
    """Constants or high and low waters, as the columns say. Raises BadInput naming the line."""
    file = read_tide(data, station)
    return TideRead(file, None) if isinstance(file, StationFile) else TideRead(None, file)
