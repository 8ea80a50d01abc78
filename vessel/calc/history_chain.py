"""The chain of hashes that shows whether history was altered: each entry's hash covers the hash before it.

An entry is a mapping of the fields in COVERED (JSON values; times as text) and `hash`. The chain starts at number 1
with an empty previous hash. Which database keeps it is not part of it, so a chain moves house whole.
"""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import rfc8785

COVERED = (
    "number", "at", "happened_at", "by", "what", "noun", "noun_key", "changes", "private_hash", "previous_hash",
)  # fmt: skip

Entry = Mapping[str, object]


class Head(NamedTuple):
    """The hash of one entry as noted outside the chain: on an invoice, in a letter."""

    number: int
    hash: str


class Problem(NamedTuple):
    """The first entry that is not as it was written. `kind`: changed, missing, added or reordered."""

    number: int
    kind: str
    sentence: str


def entry_hash(entry: Entry) -> str:
    """SHA-256, in hex, of the canonical JSON of the covered fields.

    Raises ValueError for values that canonical JSON cannot carry (NaN, whole numbers beyond 2^53).

    Source: [rfc8785]
    """
    covered = {name: entry[name] for name in COVERED}
    return hashlib.sha256(rfc8785.dumps(covered)).hexdigest()  # type: ignore[arg-type]


def private_hash(text: str, salt: str) -> str:
    """SHA-256, in hex, of private text under its salt: binds the text without showing it.

    Source: [rfc8785]
    """
    return hashlib.sha256(rfc8785.dumps({"salt": salt, "text": text})).hexdigest()


def first_bad(entries: Iterable[Entry], heads: Sequence[Head] = ()) -> Problem | None:
    """The first entry that was changed, left out, put in or moved; None when the chain is whole.

    `entries` in the order they stand. A chain re-made whole from some entry on is found only by a noted head.

    Source: [own]
    """
    chain = list(entries)
    hash_before = ""
    for place, entry in enumerate(chain):
        problem = _wrong_number(chain, place) or _wrong_hash(chain, place, hash_before)
        if problem:
            return problem
        hash_before = str(entry["hash"])
    return _wrong_head(chain, heads)


def _wrong_number(chain: Sequence[Entry], place: int) -> Problem | None:
    expected, found = place + 1, chain[place].get("number")
    if found == expected:
        return None
    if not isinstance(found, int) or found < expected:
        return Problem(place + 1, "added", f"Line {place + 1} is numbered {found}, which does not belong there.")
    if any(entry.get("number") == expected for entry in chain[place + 1 :]):
        return Problem(expected, "reordered", f"Entry {found} stands where entry {expected} should.")
    return Problem(expected, "missing", f"Entry {expected} is missing: entry {found} stands in its place.")


def _wrong_hash(chain: Sequence[Entry], place: int, hash_before: str) -> Problem | None:
    entry, number = chain[place], place + 1
    whole = _is_whole(entry)
    if whole and entry["previous_hash"] == hash_before:
        return None
    after = chain[place + 1] if place + 1 < len(chain) else None
    if after is not None and place > 0 and after.get("previous_hash") == hash_before:
        return Problem(number, "added", f"Entry {number} was put in: the next one follows entry {number - 1}.")
    if not whole and (was := _true_number(entry, number)):
        if was > number:
            return Problem(number, "missing", f"Entry {number} is missing: the one there was written as entry {was}.")
        return Problem(was, "added", f"Entry {was} was put in: the one after it was written as entry {was}.")
    if whole:
        sentence = f"Entry {number} does not follow entry {number - 1} as that now stands: one of them was replaced."
        return Problem(max(number - 1, 1), "changed", sentence)
    return Problem(number, "changed", f"Entry {number} was changed after it was written.")


def _is_whole(entry: Entry) -> bool:
    try:
        return entry_hash(entry) == entry["hash"]
    except (KeyError, ValueError, RecursionError):
        return False


def _true_number(entry: Entry, number: int) -> int | None:
    """The number near `number` under which the entry's own hash is right, if any."""
    near = (number + step for gap in range(1, 51) for step in (-gap, gap))
    return next((other for other in near if other > 0 and _is_whole({**entry, "number": other})), None)


def _wrong_head(chain: Sequence[Entry], heads: Sequence[Head]) -> Problem | None:
    for head in sorted(heads):
        if head.number > len(chain):
            missing = len(chain) + 1
            gone = f"Entry {missing} is" if missing == head.number else f"Entries {missing} to {head.number} are"
            return Problem(missing, "missing", f"{gone} missing at the end.")
        if head.number >= 1 and chain[head.number - 1]["hash"] != head.hash:
            sentence = (
                f"Entry {head.number} does not carry the hash that was noted for it: it, or an entry before it, was"
                " changed and the chain made again."
            )
            return Problem(head.number, "changed", sentence)
    return None
