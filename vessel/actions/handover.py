"""The pack for a future owner: a bag of plain files with hashes, the whole history chain, and a page to read."""

import csv
import hashlib
import io
import json
import zipfile
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import NamedTuple

import rfc8785
from django.conf import settings
from django.db import transaction
from django.template.loader import render_to_string
from django.utils.module_loading import import_string

from vessel.actions.author import By
from vessel.actions.history import record
from vessel.calc.history_chain import Head
from vessel.calc.json_value import stamp
from vessel.errors import Refused
from vessel.models import Vessel
from vessel.queries.handover import Cell, Chapter
from vessel.queries.history import chain, chain_problem, head

SHOWN_ROWS = 400  # on the page; the files hold all
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
README = """{name}: handover of {when}

Open index.html in any browser: it needs no program and no network.
The folder data holds the same and more as plain files: one .csv (for a spreadsheet; values that begin with a sign a
spreadsheet would run carry a ' before them) and one .jsonl (JSON Lines, UTF-8, exact) for each chapter; the units stand
in chapters.json. Times are UTC; people appear by token, never by name.

History
history.jsonl is the vessel's history as a chain: the hash of each entry (SHA-256 over canonical JSON, RFC 8785, of all
fields but the hash itself) covers the hash of the entry before it. The last entry is this handover; it holds the hashes
of the chapters and of index.html. Its own number and hash, the head of the chain, are in head.json:

    entry {number}
    {hash}

What this proves: nothing in the chain was altered, left out, put in or moved after a head was noted by somebody else,
and the chapters are the ones handed over. Note the head on the bill of sale; compare older heads you were given.
What it does not prove: that what was written was true, that everything was written, or, while nobody else noted a
head, that the chain was not made anew from its beginning.

Left out on purpose: names and contacts of people, their health and rest, what was written of passages and in notes,
prices, photos. A text struck out by the owner shows as a gap.

The bag follows RFC 8493; any program for such bags can check the files. So does: manage.py verify THIS-FILE.zip
"""


class Pack(NamedTuple):
    """The finished file and the head to note outside."""

    data: bytes
    head: Head


@transaction.atomic
def build_handover(*, vessel_id: int, by: By, at: datetime) -> Pack:
    """The whole pack as the bytes of a zip file, and its own entry in the history. Refused when the chain is broken."""
    vessel = Vessel.objects.select_for_update().get(pk=vessel_id)
    if problem := chain_problem(vessel_id):
        raise Refused(f"The history of {vessel.name} is not whole: {problem.sentence} No handover was made.")
    chapters: list[Chapter] = [import_string(path)(vessel_id) for path in settings.HANDOVER_CHAPTERS]
    bound = {f"data/{name}": data for chapter in chapters for name, data in _files(chapter)}
    bound["data/chapters.json"] = _json_bytes([_about(chapter) for chapter in chapters])
    bound["index.html"] = _page(vessel, chapters, head(vessel_id), at)
    entry = record(
        vessel=vessel,
        what=f"Handover made: {len(chapters)} chapters, {sum(len(chapter.rows) for chapter in chapters)} rows.",
        by=by,
        at=at,
        noun="handover",
        noun_key=at.date().isoformat(),
        changes={name: [None, _hash(data)] for name, data in bound.items()},
    )
    last = Head(entry.number, entry.hash)
    files = bound | {
        "data/history.jsonl": b"".join(rfc8785.dumps(entry) + b"\n" for entry in chain(vessel_id)),  # type: ignore[arg-type]
        "data/head.json": _json_bytes({"number": last.number, "hash": last.hash, "at": stamp(at)}),
        "README.txt": _readme(vessel, last, at),
    }
    return Pack(_zipped(files | _bag_files(files, vessel, at), at), last)


def _files(chapter: Chapter) -> Iterable[tuple[str, bytes]]:
    names = [column.name for column in chapter.columns]
    lines = (json.dumps(dict(zip(names, row, strict=True)), ensure_ascii=False) for row in chapter.rows)
    yield f"{chapter.key}.jsonl", "".join(f"{line}\n" for line in lines).encode()
    sheet = io.StringIO()
    writer = csv.writer(sheet)
    writer.writerow([f"{column.name} ({column.unit})" if column.unit else column.name for column in chapter.columns])
    writer.writerows([_safe(cell) for cell in row] for row in chapter.rows)
    yield f"{chapter.key}.csv", sheet.getvalue().encode("utf-8-sig")


def _safe(cell: Cell) -> Cell:
    """Text that a spreadsheet would run as a formula gets a quote before it; numbers stay numbers."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA_SIGNS) else cell


def _about(chapter: Chapter) -> dict[str, object]:
    columns = [{"name": column.name, "unit": column.unit} for column in chapter.columns]
    return {"key": chapter.key, "title": chapter.title, "note": chapter.note, "columns": columns}


def _page(vessel: Vessel, chapters: Sequence[Chapter], before: Head | None, at: datetime) -> bytes:
    shown = [
        {"chapter": chapter, "rows": chapter.rows[-SHOWN_ROWS:] if _grows(chapter) else chapter.rows[:SHOWN_ROWS]}
        for chapter in chapters
    ]
    context = {"vessel": vessel, "chapters": shown, "before": before, "at": at, "shown_rows": SHOWN_ROWS}
    return render_to_string("vessel/handover/pack.html", context).encode()


def _grows(chapter: Chapter) -> bool:
    """Chapters written day by day: of a long one the newest rows are shown."""
    return chapter.key in {"log", "readings", "history_lines"}


def _readme(vessel: Vessel, last: Head, at: datetime) -> bytes:
    return README.format(name=vessel.name, when=f"{at:%d %B %Y}", number=last.number, hash=last.hash).encode()


def _bag_files(files: dict[str, bytes], vessel: Vessel, at: datetime) -> dict[str, bytes]:
    """The files that make a bag of it (RFC 8493)."""
    payload = {name: data for name, data in files.items() if name.startswith("data/")}
    size = sum(len(data) for data in payload.values())
    name = " ".join(vessel.name.split())
    tags = {
        "bagit.txt": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        "bag-info.txt": (
            f"Bagging-Date: {at:%Y-%m-%d}\nExternal-Description: Handover of {name}\n"
            f"Payload-Oxum: {size}.{len(payload)}\n"
        ).encode(),
        "manifest-sha256.txt": _manifest(payload),
    }
    loose = {name: data for name, data in files.items() if name not in payload}
    return tags | {"tagmanifest-sha256.txt": _manifest(tags | loose)}


def _manifest(files: dict[str, bytes]) -> bytes:
    return "".join(f"{_hash(files[name])}  {name}\n" for name in sorted(files)).encode()


def _zipped(files: dict[str, bytes], at: datetime) -> bytes:
    """One folder in a zip, every file with the same time, so that equal content gives equal bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bag:
        for name in sorted(files):
            member = zipfile.ZipInfo(f"handover/{name}", at.timetuple()[:6])
            member.compress_type = zipfile.ZIP_DEFLATED
            member.external_attr = 0o644 << 16
            bag.writestr(member, files[name])
    return out.getvalue()


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _json_bytes(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, indent=2).encode() + b"\n"
