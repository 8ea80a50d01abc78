"""Checking a handover from anywhere: files against their hashes, and the history entry by entry."""

import hashlib
import json
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import BinaryIO, NamedTuple

import rfc8785

from vessel.calc.history_chain import Head, Problem, first_bad
from vessel.errors import BadInput
from vessel.feeds.zip_file import DamagedMember, SafeZip

MANIFESTS = ("manifest-sha256.txt", "tagmanifest-sha256.txt")
HISTORY, HEAD = "data/history.jsonl", "data/head.json"
READ_WHOLE = {*MANIFESTS, HISTORY, HEAD, "bagit.txt"}
MOST_KEPT_BYTES = 512 << 20  # of one file held in memory [own]
LINE = re.compile(r"^([0-9a-f]{64}) {1,2}\*?(.+)$")
NOT_ONE = "This is not a handover of this program"


class Whole(NamedTuple):
    """A handover in which nothing is out of place: how many entries, files, and its head."""

    entries: int
    files: int
    head: Head


class Contents(NamedTuple):
    """Hashes of all files, the text of those that are read, the files that could not be unpacked."""

    hashes: dict[str, str]
    texts: dict[str, bytes]
    damaged: list[str]


def check_handover(file: BinaryIO | Path, heads: Sequence[Head] = ()) -> Whole | Problem:
    """The first thing that is not as it was handed over, or what was found whole.

    `heads` are those noted outside. An entry of the history is named before a file. Raises BadInput for a file that
    is no handover.
    """
    contents = _contents(SafeZip(file))
    problem = _history_problem(contents, heads) or _file_problem(contents) or _chapter_problem(contents)
    if problem:
        return problem
    entries = _entries(contents.texts[HISTORY])
    return Whole(len(entries), len(contents.hashes), _head_of(contents))


def _contents(bag: SafeZip) -> Contents:
    names = bag.names()
    top = next((name.removesuffix("bagit.txt") for name in names if name.split("/", 1)[-1] == "bagit.txt"), None)
    if top is None or any(not name.startswith(top) for name in names):
        raise BadInput(f"{NOT_ONE}: it holds no bagit.txt, or more than one folder.")
    hashes: dict[str, str] = {}
    texts: dict[str, bytes] = {}
    damaged = []
    for name in names:
        inside = name.removeprefix(top)
        try:
            hashes[inside] = _take(bag.pieces(name), inside, texts)
        except DamagedMember:
            damaged.append(inside)
            hashes[inside] = "damaged"
    return Contents(hashes, texts, damaged)


def _take(pieces: Iterable[bytes], name: str, texts: dict[str, bytes]) -> str:
    digest, kept = hashlib.sha256(), bytearray()
    for piece in pieces:
        digest.update(piece)
        if name in READ_WHOLE:
            kept += piece
            if len(kept) > MOST_KEPT_BYTES:
                raise BadInput(f"{name} is larger than {MOST_KEPT_BYTES >> 20} MiB. Nothing was taken from it.")
    if name in READ_WHOLE:
        texts[name] = bytes(kept)
    return digest.hexdigest()


def _history_problem(contents: Contents, heads: Sequence[Head]) -> Problem | None:
    for name in (HISTORY, HEAD):
        if name in contents.damaged:
            return Problem(0, "changed", f"{name} was changed: it cannot be unpacked.")
        if name not in contents.texts:
            return Problem(0, "missing", f"{name} is missing.")
    own_head = _head_of(contents)
    if own_head.number < 1:
        return Problem(0, "changed", f"{HEAD} was changed: it holds no head.")
    entries = _entries(contents.texts[HISTORY])
    problem = first_bad(entries, (own_head, *heads))
    if problem is None and len(entries) > own_head.number:
        number = own_head.number + 1
        return Problem(number, "added", f"Entry {number} was put in after the handover.")
    return problem


def _entries(text: bytes) -> list[dict[str, object]]:
    """One mapping a line; a line that is not canonical JSON comes out as a mapping that carries no valid hash."""
    return [_entry(line) for line in text.removesuffix(b"\n").split(b"\n")] if text else []


def _entry(line: bytes) -> dict[str, object]:
    try:
        entry = json.loads(line)
        if isinstance(entry, dict) and rfc8785.dumps(entry) == line:
            return entry
        number = entry.get("number") if isinstance(entry, dict) else None
    except (ValueError, RecursionError):
        number = _number_in(line)
    return {"number": number}


def _number_in(line: bytes) -> int | None:
    found = re.search(rb'"number":(\d{1,9})\b', line)
    return int(found[1]) if found else None


def _head_of(contents: Contents) -> Head:
    try:
        told = json.loads(contents.texts[HEAD])
        return Head(int(told["number"]), str(told["hash"]))
    except (ValueError, KeyError, TypeError, RecursionError):
        return Head(-1, "")


def _file_problem(contents: Contents) -> Problem | None:
    listed: dict[str, str] = {}
    for manifest in MANIFESTS:
        if manifest not in contents.texts:
            return Problem(0, "missing", f"{manifest} is missing.")
        for line in contents.texts[manifest].decode(errors="replace").splitlines():
            match = LINE.match(line)
            if match is None:
                return Problem(0, "changed", f"{manifest} was changed: a line in it is no hash and name.")
            listed[match[2]] = match[1]
    return _against(listed, contents.hashes, "a file")


def _against(listed: dict[str, str], hashes: dict[str, str], what: str) -> Problem | None:
    for name in sorted(listed):
        if name not in hashes:
            return Problem(0, "missing", f"{name} is missing.")
        if hashes[name] != listed[name]:
            return Problem(0, "changed", f"{name} was changed.")
    for name in sorted(hashes):
        if name not in listed and name != MANIFESTS[1]:
            return Problem(0, "added", f"{name} was put in: it is {what} no list names.")
    return None


def _chapter_problem(contents: Contents) -> Problem | None:
    """The chapters against the hashes in the last entry of the chain: re-made lists do not hide a changed chapter."""
    last = _entries(contents.texts[HISTORY])[-1]
    changes = last["changes"]
    if last["noun"] != "handover" or not isinstance(changes, dict):
        return Problem(_head_of(contents).number, "changed", "The last entry of the history is no handover.")
    bound = {name: str(values[-1]) if isinstance(values, list) and values else "" for name, values in changes.items()}
    free = {*MANIFESTS, HISTORY, HEAD, "bagit.txt", "bag-info.txt", "README.txt"}
    return _against(bound, {name: noted for name, noted in contents.hashes.items() if name not in free}, "a chapter")
