"""What a fit left over, as it is kept with the station and shown: how far the heights may be out."""

from typing import Annotated

from readiness.rules.record import Moment, Real, Record, unit


class ConstantDoubt(Record, frozen=True):
    """How sure one fitted constant is, 95 %; null where it was taken from a neighbour and not fitted."""

    name: str
    amplitude_m: Annotated[Real, unit("m")]
    phase_deg: Annotated[Real, unit("deg")]


class FitNotes(Record, frozen=True):
    """`observed_s`: time that observations cover, gaps left out. `standard_deviation_m`, `within_95_m` and `largest_m`
    (with its sign, observed less fitted, at `largest_at`) are of what was left over. `doubt_m`: twice the standard
    deviation, what the heights may be out at the least, weather included as it was then.
    """

    first_at: Moment
    last_at: Moment
    observed_s: Annotated[Real, unit("s")]
    count: int
    standard_deviation_m: Annotated[Real, unit("m")]
    within_95_m: Annotated[Real, unit("m")]
    largest_m: Annotated[Real, unit("m")]
    largest_at: Moment
    doubt_m: Annotated[Real, unit("m")]
    constants: tuple[ConstantDoubt, ...]
    inferred: tuple[str, ...]
    not_fitted: tuple[str, ...]
