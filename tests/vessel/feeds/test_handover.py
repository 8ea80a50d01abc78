"""A handover checked anywhere: every file and every entry tampered with, and the first bad one named."""

import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
import rfc8785

from tests.factories.handover import a_lived_in_vessel, packed, unpacked
from vessel.actions.handover import build_handover
from vessel.calc.history_chain import Head, Problem, entry_hash
from vessel.errors import BadInput
from vessel.feeds.handover import Whole, check_handover

pytestmark = pytest.mark.django_db
Files = dict[str, bytes]


@pytest.fixture
def data(at: datetime) -> bytes:
    return build_handover(vessel_id=a_lived_in_vessel(at).pk, by="owner-1", at=at).data


def lines_of(files: Files) -> list[bytes]:
    return files["data/history.jsonl"].splitlines()


def with_lines(files: Files, lines: list[bytes]) -> Files:
    return {**files, "data/history.jsonl": b"".join(line + b"\n" for line in lines)}


def with_lists_again(files: Files) -> Files:
    """What somebody does who makes the lists of hashes again after a change."""
    payload = {name: data for name, data in files.items() if name.startswith("data/")}
    files = {**files, "manifest-sha256.txt": manifest(payload)}
    tags = {name: data for name, data in files.items() if name not in payload and name != "tagmanifest-sha256.txt"}
    return {**files, "tagmanifest-sha256.txt": manifest(tags)}


def manifest(files: Files) -> bytes:
    return "".join(f"{hashlib.sha256(data).hexdigest()}  {name}\n" for name, data in sorted(files.items())).encode()


def problem_of(files: Files, heads: tuple[Head, ...] = ()) -> Problem:
    found = check_handover(packed(files), heads)
    assert isinstance(found, Problem)
    return found


def test_as_handed_over_it_is_whole(data: bytes) -> None:
    found = check_handover(io.BytesIO(data))

    assert isinstance(found, Whole)
    assert found.entries == len(lines_of(unpacked(data)))
    assert found.head.number == found.entries
    assert found.files == len(unpacked(data))


def test_every_single_file_changed_missing_or_added_is_named(data: bytes) -> None:
    files = unpacked(data)

    for name in files:
        if name == "bagit.txt":
            continue  # without it, it is no bag: see below
        changed = check_handover(packed({**files, name: files[name] + b" "}))
        missing = check_handover(packed({other: held for other, held in files.items() if other != name}))
        assert isinstance(changed, Problem), name
        assert isinstance(missing, Problem), name
        if name not in {"data/history.jsonl", "data/head.json"} and "manifest" not in name:
            assert changed == (0, "changed", f"{name} was changed.")
            assert missing == (0, "missing", f"{name} is missing.")
    assert problem_of({**files, "data/extra.csv": b"x"}) == (
        0, "added", "data/extra.csv was put in: it is a file no list names.")  # fmt: skip


def test_every_single_byte_of_the_zip_turned_over_is_found_or_does_no_harm(data: bytes) -> None:
    whole = unpacked(data)
    for place in range(7, len(data), max(1, len(data) // 150)):
        turned = bytearray(data)
        turned[place] ^= 0x55
        try:
            found = check_handover(io.BytesIO(bytes(turned)))
        except BadInput:
            continue
        assert isinstance(found, Problem) or unpacked(bytes(turned)) == whole, place


def change_what(entry: dict[str, Any]) -> None:
    entry["what"] = "Never happened."


def change_by(entry: dict[str, Any]) -> None:
    entry["by"] = "owner-2"


def change_changes(entry: dict[str, Any]) -> None:
    entry["changes"] = {"draught_m": [1.25, 9.0]}


@pytest.mark.parametrize("change", [change_what, change_by, change_changes])
@pytest.mark.parametrize("relisted", [False, True], ids=["lists kept", "lists made again"])
def test_every_entry_changed_is_named(data: bytes, change: Callable[[dict[str, Any]], None], relisted: bool) -> None:
    files = unpacked(data)
    lines = lines_of(files)
    for place in range(len(lines)):
        entry = json.loads(lines[place])
        change(entry)
        tampered = with_lines(files, [*lines[:place], rfc8785.dumps(entry), *lines[place + 1 :]])
        problem = problem_of(with_lists_again(tampered) if relisted else tampered)
        assert (problem.number, problem.kind) == (place + 1, "changed")
        assert f"Entry {place + 1}" in problem.sentence


@pytest.mark.parametrize("relisted", [False, True], ids=["lists kept", "lists made again"])
def test_every_entry_left_out_put_in_or_moved_is_named(data: bytes, relisted: bool) -> None:
    files = unpacked(data)
    lines = lines_of(files)
    again = with_lists_again if relisted else dict
    for place in range(len(lines)):
        number = place + 1
        left_out = problem_of(again(with_lines(files, lines[:place] + lines[place + 1 :])))
        twice = problem_of(again(with_lines(files, [*lines[:number], lines[place], *lines[number:]])))
        assert (left_out.number, left_out.kind) == (number, "missing")
        assert (twice.number, twice.kind) == (number + 1, "added")
        if number < len(lines):
            moved = [*lines[:place], lines[number], lines[place], *lines[number + 1 :]]
            swapped = problem_of(again(with_lines(files, moved)))
            assert (swapped.number, swapped.kind) == (number, "reordered")


def test_an_entry_added_at_the_end_in_good_form_is_found_by_the_head(data: bytes) -> None:
    files = unpacked(data)
    lines = lines_of(files)
    last = json.loads(lines[-1])
    more = {**last, "number": last["number"] + 1, "previous_hash": last["hash"], "what": "Sold."}
    more["hash"] = entry_hash(more)

    problem = problem_of(with_lists_again(with_lines(files, [*lines, rfc8785.dumps(more)])))

    assert (problem.number, problem.kind) == (last["number"] + 1, "added")


def test_a_chapter_changed_with_its_lists_made_again_is_found_by_the_chain(data: bytes) -> None:
    files = unpacked(data)
    tampered = {**files, "data/defects.csv": files["data/defects.csv"].replace(b"OPEN", b"mended")}

    assert problem_of(with_lists_again(tampered)) == (0, "changed", "data/defects.csv was changed.")
    added = with_lists_again({**files, "data/more.csv": b"x"})
    assert problem_of(added) == (0, "added", "data/more.csv was put in: it is a chapter no list names.")
    missing = with_lists_again({name: held for name, held in files.items() if name != "index.html"})
    assert problem_of(missing) == (0, "missing", "index.html is missing.")


def test_a_whole_chain_made_again_is_found_only_by_a_head_noted_outside(data: bytes) -> None:
    files = unpacked(data)
    entries = [json.loads(line) for line in lines_of(files)]
    noted = Head(3, entries[2]["hash"])
    entries[0]["what"] = "She never leaked."
    previous = ""
    for entry in entries:
        entry["previous_hash"] = previous
        previous = entry["hash"] = entry_hash(entry)
    files = with_lines(files, [rfc8785.dumps(entry) for entry in entries])
    files["data/head.json"] = json.dumps({"number": len(entries), "hash": previous}).encode()
    forged = with_lists_again(files)

    assert isinstance(check_handover(packed(forged)), Whole)  # as README.txt says: note the head outside
    assert problem_of(forged, (noted,)).number == 3


@pytest.mark.parametrize(
    "line",
    [b"", b"{}", b"[]", b"null", b'"x"', b"{", b'{"number":1e400}', b"\xff\xfe", b"[" * 100_000, b'{"number":[1]}'],
)
def test_a_line_that_is_no_entry_is_named_whatever_it_holds(data: bytes, line: bytes) -> None:
    files = unpacked(data)
    lines = lines_of(files)

    problem = problem_of(with_lists_again(with_lines(files, [lines[0], line, *lines[2:]])))

    assert problem.number == 2


def test_a_line_in_another_form_of_json_is_a_changed_line(data: bytes) -> None:
    files = unpacked(data)
    lines = lines_of(files)
    doubled = lines[1][:-1] + b',"what":"Other."}'  # the last of two equal names wins in most readers

    problem = problem_of(with_lines(files, [lines[0], doubled, *lines[2:]]))

    assert (problem.number, problem.kind) == (2, "changed")


@pytest.mark.parametrize(
    "head", [b"", b"{}", b"[]", b'{"number": 0, "hash": ""}', b'{"number": "x", "hash": 1}', b"\xff"]
)
def test_a_head_that_is_none_is_said(data: bytes, head: bytes) -> None:
    problem = problem_of({**unpacked(data), "data/head.json": head})

    assert problem.sentence == "data/head.json was changed: it holds no head."


def test_an_empty_history_is_not_whole(data: bytes) -> None:
    problem = problem_of(with_lists_again({**unpacked(data), "data/history.jsonl": b""}))

    assert (problem.number, problem.kind) == (1, "missing")


@pytest.mark.parametrize(
    "names", [{}, {"handover/readme.txt": b"x"}, {"handover/bagit.txt": b"x", "elsewhere.txt": b"y"}]
)
def test_what_is_no_handover_is_refused(names: Files) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as bag:
        for name, held in names.items():
            bag.writestr(name, held)

    with pytest.raises(BadInput, match="not a handover of this program"):
        check_handover(out)
