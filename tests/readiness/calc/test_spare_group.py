"""Spares in success trees: groups without reserve, single points of failure, and the few losses that end it."""

import json
import os
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from readiness.calc.spare_group import cut_sets, reserve_level, single_points, spare_groups
from readiness.calc.success_tree import Group, Leaf, Level, Tree, codes, evaluate, parse, written_out

REFDATA = Path(os.environ.get("LEGWORTHY_REFDATA", Path(__file__).parents[4] / "shared" / "refdata")) / "faulttrees"
DRIVE = parse("ALL(EN-01, ANY(EN-03, EN-04), ATLEAST(2; ALL(NV-02, P-01), NV-03, NV-04))")


def reserve_gone(text: str, levels: dict[str, int], design: dict[str, int] | None = None, counts: int = 1) -> bool:
    """Whether the outer group of a tree has no reserve; what is not named is in service and fitted."""
    group = parse(text)
    assert isinstance(group, Group)
    rows = {name: row for row, name in enumerate(codes(group))}
    state = np.array([[levels.get(name, 0)] for name in rows], np.int8)
    fitted = np.array([[(design or {}).get(name, 0)] for name in rows], np.int8)
    answer = reserve_level(group, state, fitted, rows, frozenset({"near_ok"}))
    return bool(answer[0] > counts)


@pytest.mark.parametrize(
    ("text", "levels", "design", "gone"),
    [
        ("ANY(A, B)", {}, {}, False),
        ("ANY(A, B)", {"A": 1}, {}, False),
        ("ANY(A, B)", {"A": 4}, {}, True),
        ("ANY(A, B)", {"A": 4, "B": 4}, {}, True),
        ("ANY(A, B)", {"A": 4}, {"A": 4}, False),
        ("ANY(A, B, C)", {"A": 4}, {}, False),
        ("ANY(A, B, C)", {"A": 4, "C": 4}, {"C": 4}, True),
        ("ATLEAST(2; A, B, C)", {"C": 4}, {}, True),
        ("ATLEAST(2; A, B, C)", {}, {}, False),
        ("ANY(A, near_ok)", {"A": 4}, {}, False),
        ("ANY(A, ALL(B, near_ok))", {}, {}, False),
        ("ANY(A, ALL(B, near_ok))", {"A": 4}, {}, True),
        ("ANY(A, ALL(B, near_ok))", {"near_ok": 4}, {"near_ok": 4}, False),
        ("ANY(near_ok)", {}, {}, False),
    ],
)
def test_a_group_built_with_a_spare_is_reserve_level_when_no_more_work_than_it_needs(
    text: str, levels: dict[str, int], design: dict[str, int], *, gone: bool
) -> None:
    assert reserve_gone(text, levels, design) is gone


@pytest.mark.parametrize(("counts", "gone"), [(1, True), (2, True), (3, False)])
def test_what_counts_as_working_is_the_callers_choice(counts: int, *, gone: bool) -> None:
    assert reserve_gone("ANY(A, B)", {"A": 3}, counts=counts) is gone


def test_spare_groups_know_the_helper_they_lie_in() -> None:
    tree = written_out(parse("ALL(X, ANY(Y, supply))"), {"supply": parse("ALL(S, ANY(T, U))")})

    found = [(codes(spare.group), spare.helper) for spare in spare_groups(tree)]

    assert found == [(("Y", "S", "T", "U"), ""), (("T", "U"), "supply")]


def test_a_helper_inside_a_helper_is_the_one_that_is_named() -> None:
    helpers = {"supply": parse("ALL(S, ANY(T, U))"), "radio": parse("ALL(R, supply)"), "either": parse("ANY(T, U)")}

    names = [
        [spare.helper for spare in spare_groups(written_out(parse(text), helpers))]
        for text in ("radio", "ALL(X, either)")
    ]

    assert names == [["supply"], ["either"]]


def brute_cut_sets(tree: Tree, order: int) -> set[frozenset[str]]:
    """Every set tried in turn."""
    names = codes(tree)
    rows = {name: row for row, name in enumerate(names)}
    found: set[frozenset[str]] = set()
    for size in range(1, order + 1):
        for chosen in combinations(names, size):
            levels = np.array([[4 if name in chosen else 0] for name in names], np.int8)
            if evaluate(tree, levels, rows)[0] == Level.OUT and not any(one <= set(chosen) for one in found):
                found.add(frozenset(chosen))
    return found


@pytest.mark.parametrize(
    "text",
    ["A", "ALL(A, B)", "ANY(A, B, C)", "ATLEAST(2; A, B, C, D)", "ANY(ALL(A, B), ALL(A, C))", "ANY(A, B, C, D, E)"],
)
def test_cut_sets_and_single_points_are_those_found_by_trying_every_loss(text: str) -> None:
    tree = parse(text)

    assert set(cut_sets(tree)) == brute_cut_sets(tree, 3)
    assert {frozenset([one]) for one in single_points(tree)} == {one for one in cut_sets(tree) if len(one) == 1}


def test_cut_sets_come_smallest_first() -> None:
    assert [sorted(one) for one in cut_sets(DRIVE, 2)] == [
        ["EN-01"], ["EN-03", "EN-04"], ["NV-02", "NV-03"], ["NV-02", "NV-04"],
        ["NV-03", "NV-04"], ["NV-03", "P-01"], ["NV-04", "P-01"],
    ]  # fmt: skip


def test_a_tree_with_too_many_ways_to_fail_is_refused() -> None:
    wide = Group(10, tuple(Leaf(f"X{k}") for k in range(25)))

    with pytest.raises(ValueError, match="too many ways to fail"):
        cut_sets(wide)


def has_printed_cut_sets(path: Path) -> bool:
    """Whether a file holds a tree of plain gates with its cut sets."""
    printed = json.loads(path.read_text())
    gates = {gate["op"] for gate in printed.get("gates", {}).values()}
    return bool(gates) and gates <= {"and", "or"} and "minimal_cut_sets" in printed["expected"]


FAULT_TREES = sorted(filter(has_printed_cut_sets, REFDATA.glob("*.json")))


def as_success_tree(gates: dict[str, dict[str, object]], name: str) -> Tree:
    """A fault tree turned about: it fails when any fails, so it holds only when all hold."""
    if name not in gates:
        return Leaf(name)
    inputs = gates[name]["in"]
    assert isinstance(inputs, list)
    members = tuple(as_success_tree(gates, one) for one in inputs)
    return Group(len(members) if gates[name]["op"] == "or" else 1, members)


@pytest.mark.parametrize("path", FAULT_TREES, ids=lambda path: f"read from outside: {path.stem}")
def test_cut_sets_agree_with_published_fault_trees(path: Path) -> None:
    printed = json.loads(path.read_text())
    if {gate["op"] for gate in printed["gates"].values()} - {"and", "or"} or "minimal_cut_sets" not in printed[
        "expected"
    ]:
        pytest.skip("this tree has no printed cut sets, or gates that are no ALL or ANY")

    found = cut_sets(as_success_tree(printed["gates"], printed["top"]))

    assert set(found) == {frozenset(one) for one in printed["expected"]["minimal_cut_sets"]}
