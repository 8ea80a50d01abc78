"""The shapes of "what must always be true" that many nouns share, said once.

Each returns a check the database itself holds, so that no import, shell or bulk update walks past it.
"""

from collections.abc import Iterable

from django.db.models import CheckConstraint, F, Q


def one_of(noun: str, column: str, values: Iterable[str]) -> CheckConstraint:
    """The column holds one of the listed words, or NULL where the column allows it."""
    return CheckConstraint(name=f"{noun}_{column}_is_a_known_word", condition=Q((f"{column}__in", list(values))))


def above_zero(noun: str, *columns: str) -> list[CheckConstraint]:
    """Each column is above zero, or not known."""
    return [
        CheckConstraint(name=f"{noun}_{column}_is_above_zero", condition=Q((f"{column}__gt", 0))) for column in columns
    ]


def not_below_zero(noun: str, *columns: str) -> list[CheckConstraint]:
    """Each column is zero or more, or not known."""
    return [
        CheckConstraint(name=f"{noun}_{column}_is_not_below_zero", condition=Q((f"{column}__gte", 0)))
        for column in columns
    ]


def within(noun: str, column: str, low: float, high: float) -> CheckConstraint:
    """The column lies in [low, high], or is not known."""
    return CheckConstraint(
        name=f"{noun}_{column}_is_within_bounds", condition=Q((f"{column}__gte", low), (f"{column}__lte", high))
    )


def in_order(noun: str, earlier: str, later: str) -> CheckConstraint:
    """The earlier comes before the later; either may be not known."""
    return CheckConstraint(name=f"{noun}_{earlier}_before_{later}", condition=Q((f"{earlier}__lt", F(later))))


def together(noun: str, first: str, second: str) -> CheckConstraint:
    """Two nullable columns are both known or both not known."""
    return CheckConstraint(
        name=f"{noun}_{first}_and_{second}_pair",
        condition=Q((f"{first}__isnull", True), (f"{second}__isnull", True))
        | Q((f"{first}__isnull", False), (f"{second}__isnull", False)),
    )


def named(noun: str, column: str = "name") -> CheckConstraint:
    """The text column is not empty."""
    return CheckConstraint(name=f"{noun}_{column}_is_not_empty", condition=~Q((column, "")))
