"""Which of the judged departures is meant by a typed time."""

from datetime import datetime

from readiness.rules.engine import Judged
from readiness.rules.telling import departure_zone
from vessel.calc.wording import with_utc
from vessel.errors import BadInput


def departure_index(judged: Judged, typed: object, planned_at: float) -> int:
    """The place of the departure typed, else of the planned one, else the first. `planned_at` in s since 1970, UTC.

    Raises BadInput for a text that is no time, has no zone, or lies outside the departures judged.
    """
    at = judged.passage.departure_at
    if typed is None:
        return judged.index_at(planned_at)
    try:
        moment = datetime.fromisoformat(str(typed))
    except ValueError as error:
        raise BadInput(f"{typed} is not a time. Write it like 2027-05-15T06:30Z.") from error
    if moment.tzinfo is None:
        raise BadInput(f"{typed} has no zone. Write 2027-05-15T06:30Z for UTC, or +01:00 for the harbour's clock.")
    index = judged.index_at(moment.timestamp())
    if abs(float(at[index]) - moment.timestamp()) > judged.facts.departures.every_s:
        zone = departure_zone(judged.facts)
        first, last = (with_utc(float(one), zone) for one in (at[0], at[-1]))
        raise BadInput(f"{typed} is not among the departures judged: the first is {first}, the last {last}.")
    return index
