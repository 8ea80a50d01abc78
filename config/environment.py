"""Settings from the environment, where a misspelt name stops the start instead of being passed over."""

import os
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

PREFIX = "LEGWORTHY_"


def refuse_unknown_names(known: Iterable[str]) -> None:
    """Raise ImproperlyConfigured for every LEGWORTHY_ name in the environment that no setting reads."""
    known = sorted(known)
    unknown = sorted(name for name in os.environ if name.startswith(PREFIX) and name not in known)
    if unknown:
        raise ImproperlyConfigured(" ".join(_say(name, known) for name in unknown))


def _say(name: str, known: list[str]) -> str:
    close = get_close_matches(name.removeprefix(PREFIX), [word.removeprefix(PREFIX) for word in known], n=1)
    hint = f"Did you mean {PREFIX}{close[0]}?" if close else f"Known are {', '.join(known)}."
    return f"The environment has {name}, which is no setting. {hint}"


def secret_from(value: str | None, file: str | None, name: str) -> str | None:
    """A secret given as text, or better as the name of a file that holds it; None where neither is given.

    Raises ImproperlyConfigured when both are given or the file cannot be read.
    """
    if value and file:
        raise ImproperlyConfigured(f"Give {PREFIX}{name} or {PREFIX}{name}_FILE, not both.")
    if not file:
        return value or None
    try:
        return Path(file).read_text(encoding="utf-8").strip()
    except OSError as reason:
        raise ImproperlyConfigured(
            f"{PREFIX}{name}_FILE names {file}, which cannot be read: {reason.strerror}."
        ) from reason
