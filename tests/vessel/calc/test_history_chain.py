"""The chain of history: whole, and attacked in every way an entry can be tampered with."""

import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vessel.calc.history_chain import Head, entry_hash, first_bad, private_hash

Chain = list[dict[str, Any]]


def chain_of(length: int, start: str = "") -> Chain:
    entries: Chain = []
    previous = start
    for number in range(1, length + 1):
        entries.append(sealed({"number": number, "previous_hash": previous, "what": f"Deed {number}."}))
        previous = entries[-1]["hash"]
    return entries


def sealed(fields: dict[str, Any]) -> dict[str, Any]:
    entry = {
        "at": "2026-07-10T09:30:00.000000Z", "happened_at": None, "by": "owner-1", "what": "", "noun": "job",
        "noun_key": "JOB-1", "changes": {"hours": [None, 1.5]}, "private_hash": "", **fields,
    }  # fmt: skip
    return {**entry, "hash": entry_hash(entry)}


def resealed_from(entries: Chain, place: int) -> Chain:
    """What somebody does who makes the chain again from there on."""
    previous = entries[place - 1]["hash"] if place else ""
    for index in range(place, len(entries)):
        entries[index] = sealed({**entries[index], "number": index + 1, "previous_hash": previous})
        previous = entries[index]["hash"]
    return entries


def changed(entries: Chain) -> Chain:
    entries[2]["what"] = "Something else."
    return entries


def backdated(entries: Chain) -> Chain:
    entries[2]["at"] = "2025-07-10T09:30:00.000000Z"
    return entries


def changed_and_hashed(entries: Chain) -> Chain:
    entries[2] = sealed({**entries[2], "what": "Something else."})
    return entries


def first_changed_and_hashed(entries: Chain) -> Chain:
    entries[0] = sealed({**entries[0], "what": "Something else."})
    return entries


def left_out(entries: Chain) -> Chain:
    del entries[2]
    return entries


def left_out_and_numbered(entries: Chain) -> Chain:
    del entries[2]
    for number, entry in enumerate(entries, 1):
        entry["number"] = number
    return entries


def first_left_out(entries: Chain) -> Chain:
    return entries[1:]


def twice(entries: Chain) -> Chain:
    return [*entries[:3], entries[2], *entries[3:]]


def put_in(entries: Chain) -> Chain:
    new = sealed({"number": 3, "previous_hash": entries[1]["hash"], "what": "Never happened."})
    later = [{**entry, "number": entry["number"] + 1} for entry in entries[2:]]
    return [*entries[:2], new, *later]


def swapped(entries: Chain) -> Chain:
    entries[2], entries[3] = entries[3], entries[2]
    return entries


def swapped_and_numbered(entries: Chain) -> Chain:
    entries[2], entries[3] = {**entries[3], "number": 3}, {**entries[2], "number": 4}
    return entries


def field_removed(entries: Chain) -> Chain:
    del entries[2]["noun"]
    return entries


def hash_blanked(entries: Chain) -> Chain:
    entries[2]["hash"] = ""
    return entries


def number_is_a_list(entries: Chain) -> Chain:
    entries[2]["number"] = [3]
    return entries


ATTACKS: list[tuple[Callable[[Chain], Chain], int, str]] = [
    (changed, 3, "changed"),
    (backdated, 3, "changed"),
    (changed_and_hashed, 3, "changed"),
    (first_changed_and_hashed, 1, "changed"),
    (left_out, 3, "missing"),
    (left_out_and_numbered, 3, "missing"),
    (first_left_out, 1, "missing"),
    (twice, 4, "added"),
    (put_in, 3, "added"),
    (swapped, 3, "reordered"),
    (field_removed, 3, "changed"),
    (hash_blanked, 3, "changed"),
    (number_is_a_list, 3, "added"),
]


@pytest.mark.parametrize("length", [0, 1, 2, 50])
def test_a_chain_as_written_is_whole(length: int) -> None:
    assert first_bad(chain_of(length)) is None


@pytest.mark.parametrize(("attack", "number", "kind"), ATTACKS, ids=[attack[0].__name__ for attack in ATTACKS])
def test_the_first_bad_entry_is_named(attack: Callable[[Chain], Chain], number: int, kind: str) -> None:
    problem = first_bad(attack(chain_of(6)))

    assert problem is not None
    assert (problem.number, problem.kind) == (number, kind)
    assert str(number) in problem.sentence


def test_swapped_entries_given_new_numbers_are_found_at_the_first_of_them() -> None:
    problem = first_bad(swapped_and_numbered(chain_of(6)))

    assert problem is not None
    assert problem.number == 3


def test_a_chain_cut_off_at_its_end_is_found_by_its_head() -> None:
    entries = chain_of(6)
    head = Head(6, entries[5]["hash"])

    assert first_bad(entries[:4]) is None
    assert first_bad(entries[:4], [head]) == (5, "missing", "Entries 5 to 6 are missing at the end.")
    assert first_bad(entries[:5], [head]) == (6, "missing", "Entry 6 is missing at the end.")


def test_a_chain_made_again_is_found_only_by_a_noted_head() -> None:
    noted = Head(4, chain_of(6)[3]["hash"])
    entries = chain_of(6)
    entries[1]["what"] = "Something else."
    entries = resealed_from(entries, 1)

    problem = first_bad(entries, [noted])

    assert first_bad(entries) is None
    assert problem is not None
    assert (problem.number, problem.kind) == (4, "changed")


def test_a_head_noted_last_year_still_fits_todays_longer_chain() -> None:
    entries = chain_of(50)

    assert first_bad(entries, [Head(7, entries[6]["hash"]), Head(50, entries[49]["hash"])]) is None


@settings(max_examples=60, deadline=None)
@given(
    st.integers(0, 7), st.sampled_from(["at", "by", "what", "noun", "noun_key", "private_hash"]), st.text(min_size=1)
)
def test_whatever_text_is_put_in_the_entry_is_named(place: int, field: str, text: str) -> None:
    entries = chain_of(8)
    entries[place][field] = str(entries[place][field]) + text

    problem = first_bad(entries)

    assert problem is not None
    assert (problem.number, problem.kind) == (place + 1, "changed")


def test_the_hash_is_that_of_the_canonical_json_worked_out_another_way() -> None:
    entry = chain_of(1)[0]
    covered = {name: value for name, value in entry.items() if name != "hash"}
    text = json.dumps(covered, sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    assert entry["hash"] == hashlib.sha256(text.encode()).hexdigest()


def test_not_a_number_cannot_be_hashed() -> None:
    with pytest.raises(ValueError, match=r".+"):
        sealed({"number": 1, "previous_hash": "", "changes": {"level": [None, float("nan")]}})


def test_private_text_is_hidden_by_its_salt() -> None:
    assert private_hash("Tam", "a") != private_hash("Tam", "b")
    assert private_hash("Tam", "a") != private_hash("Tom", "a")
    assert private_hash("Tam", "a") == private_hash("Tam", "a")
