"""Numbers out of the database: NULL becomes NaN, the number that no comparison lets pass."""

from readiness.rules.record import NOT_KNOWN


def number(value: float | None) -> float:
    """The value as a float, NaN where it is not known."""
    return NOT_KNOWN if value is None else float(value)
