"""Local time as it is typed: which moments it can mean where the clocks go forward and back."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo


def meant_by(wall: datetime, zone: str) -> tuple[datetime, ...]:
    """The moments, in UTC and earliest first, at which the clocks of a zone show a wall time without a zone.

    One as a rule; none where the clocks jumped over it; two on the night they go back.

    Source: [iana]
    """
    there = ZoneInfo(zone)
    moments = {wall.replace(tzinfo=there, fold=fold).astimezone(UTC) for fold in (0, 1)}
    shown = (moment for moment in sorted(moments) if moment.astimezone(there).replace(tzinfo=None, fold=0) == wall)
    return tuple(shown)
