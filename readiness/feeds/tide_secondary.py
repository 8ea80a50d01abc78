"""A secondary port as a tide file: its differences on the file of its reference."""

from collections.abc import Mapping
from dataclasses import dataclass

from readiness.calc.tide_secondary import SecondaryPort
from readiness.feeds.tide_differences import Document, port_called_for
from readiness.feeds.tide_sheet import refuse
from readiness.feeds.tide_station import ALWAYS, station_notes
from readiness.feeds.tide_table import HighLowFile, StationFile
from readiness.rules.tide_differences import words_of


@dataclass(frozen=True, slots=True, eq=False)
class SecondaryFile:
    """Differences on the tide of a reference; heights above the port's own `datum` (None: not stated).

    `how`: in words, how the differences work.
    """

    reference: StationFile | HighLowFile
    port: SecondaryPort
    how: str
    name: str | None
    datum: str | None
    harbour_zone: str | None
    source: str | None
    warnings: tuple[str, ...]
    zone: str = "UTC"
    valid: tuple[float, float] = ALWAYS


def secondary_file(document: Document, station: Mapping[str, object] | None, reference: object) -> SecondaryFile:
    """Differences as they are kept, on a reference that is no secondary port itself. Raises BadInput."""
    if not isinstance(reference, StationFile | HighLowFile):
        raise refuse("The reference is a secondary port itself; take the port it hangs on as the reference.")
    notes = station_notes(station)
    return SecondaryFile(
        reference=reference,
        port=port_called_for(document),
        how=words_of(document),
        name=notes.name,
        datum=notes.datum,
        harbour_zone=notes.zone_name,
        source=notes.source,
        warnings=() if notes.datum else ("The datum of the heights is not stated.",),
        valid=notes.valid,
    )
