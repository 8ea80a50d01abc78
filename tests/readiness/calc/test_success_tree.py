"""Success trees: what may be written, what they answer, and that one pass equals asking four times."""

from itertools import product

import numpy as np
import pytest

from readiness.calc.success_tree import (
    DEEPEST,
    LARGEST,
    LONGEST,
    Group,
    Leaf,
    Level,
    Tree,
    codes,
    culprits,
    evaluate,
    links,
    parse,
    written_out,
)
from vessel.errors import BadInput

A, B, C = Leaf("A"), Leaf("B"), Leaf("C")
TREES = (
    "A",
    "ALL(A, B, C)",
    "ANY(A, B, C)",
    "ATLEAST(2; A, B, C)",
    "ALL(A, ANY(B, C))",
    "ANY(ALL(A, B), C)",
    "ALL(ATLEAST(2; ALL(A, D), B, C), ANY(B, C))",
    "ATLEAST(2; A, ANY(B, C), ALL(C, D))",
)


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("EN-01", Leaf("EN-01")),
        ("ALL(A, B)", Group(2, (A, B))),
        (" any( A ,B,C ) ", Group(1, (A, B, C))),
        ("ATLEAST(2; A, B, C)", Group(2, (A, B, C))),
        ("ALL(A, ANY(B, C))", Group(2, (A, Group(1, (B, C))))),
    ],
)
def test_a_tree_is_read_as_it_is_written(text: str, tree: Tree) -> None:
    assert parse(text) == tree


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("", "Character 1 of the tree: a code or a group should stand here, not the end of the tree."),
        ("ALL(A, B", "Character 9 of the tree: “)” should stand here, not the end of the tree."),
        ("ALL(A B)", "Character 7 of the tree: “)” should stand here, not “B)”."),
        ("ALL(A,, B)", "Character 7 of the tree: a code or a group should stand here, not “,”."),
        ("ALL()", "Character 5 of the tree: a code or a group should stand here, not “)”."),
        ("ALL(A) B", "Character 8 of the tree: the end should stand here, not “B”."),
        ("ALL(A, %)", "Character 8 of the tree: a code, a comma or a bracket should stand here, not “%)”."),
        ("NOT(A)", "“NOT(” is no group of a tree. A group is ALL(..), ANY(..) or ATLEAST(number; ..)."),
        ("ATLEAST(3; A, B)", "ATLEAST(3; ..) has only 2 members, so it can never hold."),
        ("ATLEAST(0; A)", "ATLEAST needs a whole number of 1 or more before the semicolon, not “0”."),
        ("ATLEAST(2, A, B)", "Character 10 of the tree: “;” should stand here, not “,”."),
    ],
)
def test_a_tree_that_makes_no_sense_is_refused_with_its_place(text: str, complaint: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse(text)

    assert str(refused.value) == complaint


def test_trees_that_are_too_long_or_too_deep_are_refused() -> None:
    deepest = "ALL(" * DEEPEST + "A" + ")" * DEEPEST

    assert codes(parse(deepest)) == ("A",)
    with pytest.raises(BadInput, match=f"more than {DEEPEST} deep"):
        parse("ALL(" + deepest + ")")
    with pytest.raises(BadInput, match=f"more than {LONGEST:,}"):
        parse("A" * (LONGEST + 1))


def test_helpers_are_written_out_where_they_are_named() -> None:
    helpers = {"supply": parse("ALL(A, ANY(B, C))"), "alone": parse("B")}

    tree = written_out(parse("ANY(D, supply, alone)"), helpers)

    assert tree == parse("ANY(D, ALL(A, ANY(B, C)), B)")
    assert isinstance(tree, Group)
    assert [member.helper for member in tree.members if isinstance(member, Group)] == ["supply"]


def test_helpers_in_a_ring_or_without_end_are_refused() -> None:
    ring = {"one": parse("ALL(A, two)"), "two": parse("ANY(B, one)")}
    doubling = {f"g{k}": parse(f"ALL(g{k + 1}, g{k + 1})") for k in range(12)}

    with pytest.raises(BadInput, match="one, two, one name each other in a ring"):
        written_out(parse("one"), ring)
    with pytest.raises(BadInput, match=f"more than {LARGEST:,} parts"):
        written_out(parse("g0"), doubling)


def holds(tree: Tree, working: dict[str, bool]) -> bool:
    """Whether the tree holds, asked plainly."""
    if isinstance(tree, Leaf):
        return working[tree.code]
    return sum(holds(member, working) for member in tree.members) >= tree.need


@pytest.mark.parametrize("text", TREES)
def test_one_pass_gives_what_asking_four_times_gives(text: str) -> None:
    tree = parse(text)
    names = codes(tree)
    cases = np.array(list(product(Level, repeat=len(names))), np.int8)

    found = evaluate(tree, cases.T, {name: row for row, name in enumerate(names)})

    asked = [
        next(
            (
                level
                for level in Level
                if level < Level.OUT and holds(tree, dict(zip(names, case <= level, strict=True)))
            ),
            Level.OUT,
        )
        for case in cases
    ]
    assert found.tolist() == asked


@pytest.mark.parametrize("text", TREES)
def test_making_a_culprit_good_or_all_of_them_betters_the_tree_and_nothing_else_does(text: str) -> None:
    tree = parse(text)
    names = codes(tree)
    rows = {name: row for row, name in enumerate(names)}
    for case in product(Level, repeat=len(names)):
        levels = np.array(case, np.int8)[:, None]
        whole = evaluate(tree, levels, rows)[0]
        guilty = [rows[name] for name, here in culprits(tree, levels, rows).items() if here[0]]
        mended, others = levels.copy(), levels.copy()
        mended[guilty] = Level.IN_SERVICE
        others[[row for row in rows.values() if row not in guilty]] = Level.IN_SERVICE

        assert bool(guilty) == (whole > 0)
        assert evaluate(tree, mended, rows)[0] < whole or not guilty
        assert evaluate(tree, others, rows)[0] == whole


def test_arrays_over_departures_are_answered_at_once() -> None:
    tree = parse("ALL(A, ANY(B, C))")
    levels = np.array([[0, 1, 4], [4, 2, 0], [3, 0, 0]], np.int8)

    assert evaluate(tree, levels, {"A": 0, "B": 1, "C": 2}).tolist() == [3, 1, 4]


def test_links_are_the_parts_none_of_which_may_fail() -> None:
    tree = written_out(parse("ALL(A, supply, ANY(B, C))"), {"supply": parse("ALL(D, ANY(E, F))")})

    assert links(tree) == (Leaf("A"), Leaf("D"), parse("ANY(E, F)"), parse("ANY(B, C)"))
    assert links(parse("ANY(A, B)")) == (parse("ANY(A, B)"),)
