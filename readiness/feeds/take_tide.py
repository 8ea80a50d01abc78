"""A tide file as one record, whichever kind it is, as it comes out of the limited process."""

from collections.abc import Mapping
from dataclasses import dataclass

from readiness.feeds.tide_answer import TideFile
from readiness.feeds.tide_differences import is_differences
from readiness.feeds.tide_sheet import NOTHING
from readiness.feeds.tide_table import HighLowFile, StationFile, read_tide
from vessel.errors import BadInput

ASK_FOR_THE_PORT = f"The file holds differences on another port: choose that, and say which port. {NOTHING}"


class DifferencesGiven(BadInput):
    """A file of differences where a tide was asked for."""


@dataclass(frozen=True, slots=True, eq=False)
class TideRead:
    """One of the two is there, or none: then the file holds differences on a port it does not name."""

    constants: StationFile | None
    table: HighLowFile | None
    are_differences: bool = False

    @property
    def file(self) -> TideFile:
        """The one that is there. Raises DifferencesGiven."""
        if self.constants is not None:
            return self.constants
        if self.table is None:
            raise DifferencesGiven(ASK_FOR_THE_PORT)
        return self.table


def read_either(data: bytes, *, station: Mapping[str, object] | None = None) -> TideRead:
    """Constants or high and low waters, as the columns say; differences are told only. Raises BadInput naming the line."""
    if is_differences(data):
        return TideRead(None, None, are_differences=True)
    file = read_tide(data, station)
    return TideRead(file, None) if isinstance(file, StationFile) else TideRead(None, file)
