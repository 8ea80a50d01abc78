"""Columns that hold a word of one of the trade's closed lists, the same list the rules read."""

from enum import StrEnum


def choices(words: type[StrEnum]) -> list[tuple[str, str]]:
    """The list as Django's choices: each word is its own label."""
    return [(word.value, word.value) for word in words]
