"""What the boat can do, as a tree of equipment: `ALL(..)`, `ANY(..)`, `ATLEAST(k; ..)` over codes.

Levels, best first: in service, degraded, not proved, unknown, out. A group that needs k of its members stands at the
k-th best of them, so one pass gives the same answer as asking four times (in service only, then degraded too, then
not proved too, then unknown too) which is the first time that it holds.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from enum import IntEnum
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from vessel.errors import BadInput

LONGEST = 4000  # characters of one tree [own]
DEEPEST = 24  # groups inside groups, helpers included [own]
LARGEST = 1000  # codes and groups in one tree with its helpers written out [own]
TOKEN = re.compile(r"\s*(?:(?P<name>[A-Za-z0-9][A-Za-z0-9_.-]*)|(?P<sign>[(),;]))")
END = ""


class Level(IntEnum):
    """How far a piece of equipment, or what it is part of, can be counted on; worst last."""

    IN_SERVICE = 0
    DEGRADED = 1
    NOT_PROVED = 2
    UNKNOWN = 3
    OUT = 4


Levels = Annotated[NDArray[np.int8], "level"]
Rows = Mapping[str, int]  # which row of the levels belongs to a code


@dataclass(frozen=True, slots=True)
class Leaf:
    """One code: a piece of equipment, a helper group or a computed condition."""

    code: str


@dataclass(frozen=True, slots=True)
class Group:
    """`need` of the members will do. `helper`: the helper group it was written out from."""

    need: int
    members: "tuple[Tree, ...]"
    helper: str = dataclass_field(default="", compare=False)

    @property
    def needs_all(self) -> bool:
        """Whether no member may fail."""
        return self.need == len(self.members)


Tree = Leaf | Group


def parse(text: str) -> Tree:
    """The tree of a line such as `ALL(EN-01, ANY(EN-03, EN-04))`.

    Raises BadInput naming the character (counted from 1) where the line stops making sense, or that it is too long
    or too deep.
    """
    if len(text) > LONGEST:
        raise BadInput(f"This tree has {len(text):,} characters, more than {LONGEST:,}. Part it into helper groups.")
    tokens = _Tokens(text)
    tree = _branch(tokens, 0)
    tokens.take(END)
    return tree


def written_out(tree: Tree, helpers: Mapping[str, Tree]) -> Tree:
    """The tree with every helper group in place of its name. BadInput for a ring of helpers or too large a tree."""
    return _written_out(tree, helpers, (), _Room())


def codes(tree: Tree) -> tuple[str, ...]:
    """Every code of the tree once, in reading order."""
    return tuple(dict.fromkeys(_leaves(tree)))


def links(tree: Tree) -> tuple[Tree, ...]:
    """The parts none of which may fail: the members of the outer ALL, and of each ALL right inside it."""
    if isinstance(tree, Leaf) or not tree.needs_all:
        return (tree,)
    return tuple(link for member in tree.members for link in links(member))


def evaluate(tree: Tree, levels: Levels, rows: Rows) -> Levels:
    """Level of the whole tree, `levels[item, ...] -> [...]`. KeyError for a code without a row.

    Source: [practice]
    """
    if isinstance(tree, Leaf):
        return np.asarray(levels[rows[tree.code]])
    members = [evaluate(member, levels, rows) for member in tree.members]
    if tree.needs_all:
        return np.asarray(np.maximum.reduce(members))
    if tree.need == 1:
        return np.asarray(np.minimum.reduce(members))
    return np.asarray(np.partition(members, tree.need - 1, axis=0)[tree.need - 1])


def culprits(tree: Tree, levels: Levels, rows: Rows) -> dict[str, NDArray[np.bool_]]:
    """For each code, where it is among those that hold the tree below in service: it stands no better than the tree,
    and so does every group it is in.

    Source: [practice]
    """
    whole = evaluate(tree, levels, rows)
    found: dict[str, NDArray[np.bool_]] = {}
    _blame(tree, whole, np.asarray(whole > Level.IN_SERVICE), (levels, rows), found)
    return found


def _blame(
    tree: Tree,
    whole: Levels,
    here: NDArray[np.bool_],
    state: tuple[Levels, Rows],
    found: dict[str, NDArray[np.bool_]],
) -> None:
    here = here & (evaluate(tree, *state) >= whole)
    if not here.any():
        return
    if isinstance(tree, Leaf):
        found[tree.code] = found.get(tree.code, np.zeros_like(here)) | here
        return
    for member in tree.members:
        _blame(member, whole, here, state, found)


class _Tokens:
    """The words and signs of a line, each with the place where it stands."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.place = 0

    def peek(self) -> tuple[str, int]:
        """The next word or sign and where the reading goes on after it; `END` at the end."""
        match = TOKEN.match(self.text, self.place)
        if match:
            return match.group(match.lastgroup or 0), match.end()
        if self.text[self.place :].strip():
            raise self.error("a code, a comma or a bracket")
        return END, len(self.text)

    def take(self, wanted: str) -> None:
        """Step over the one sign that may stand here."""
        found, after = self.peek()
        if found != wanted:
            raise self.error(f"“{wanted}”" if wanted else "the end")
        self.place = after

    def word(self, what: str) -> str:
        """Step over a word."""
        found, after = self.peek()
        if not found or found in "(),;":
            raise self.error(what)
        self.place = after
        return found

    def error(self, wanted: str) -> BadInput:
        """What is wrong at the next word or sign."""
        rest = self.text[self.place :]
        place = self.place + len(rest) - len(rest.lstrip()) + 1
        found = f"“{rest.split(maxsplit=1)[0][:20]}”" if rest.strip() else "the end of the tree"
        return BadInput(f"Character {place} of the tree: {wanted} should stand here, not {found}.")


def _branch(tokens: _Tokens, depth: int) -> Tree:
    if depth > DEEPEST:
        raise BadInput(f"Character {tokens.place + 1} of the tree: groups stand more than {DEEPEST} deep.")
    word = tokens.word("a code or a group")
    if tokens.peek()[0] != "(":
        return Leaf(word)
    if word.upper() not in {"ALL", "ANY", "ATLEAST"}:
        raise BadInput(f"“{word}(” is no group of a tree. A group is ALL(..), ANY(..) or ATLEAST(number; ..).")
    tokens.take("(")
    need = _need(tokens) if word.upper() == "ATLEAST" else 0
    members = _members(tokens, depth)
    need = need or (len(members) if word.upper() == "ALL" else 1)
    if need > len(members):
        raise BadInput(f"ATLEAST({need}; ..) has only {len(members)} members, so it can never hold.")
    return Group(need, members)


def _need(tokens: _Tokens) -> int:
    number = tokens.word("how many are needed")
    if not number.isdecimal() or not 1 <= int(number) <= LARGEST:
        raise BadInput(f"ATLEAST needs a whole number of 1 or more before the semicolon, not “{number[:20]}”.")
    tokens.take(";")
    return int(number)


def _members(tokens: _Tokens, depth: int) -> tuple[Tree, ...]:
    members = [_branch(tokens, depth + 1)]
    while tokens.peek()[0] == ",":
        tokens.take(",")
        members.append(_branch(tokens, depth + 1))
    tokens.take(")")
    return tuple(members)


@dataclass(slots=True)
class _Room:
    """How much of a tree may still be written out, and how deep the writing stands."""

    left: int = LARGEST
    depth: int = 0

    def enter(self) -> None:
        """One part deeper. Raises BadInput where there is no room."""
        self.left, self.depth = self.left - 1, self.depth + 1
        if self.left < 0 or self.depth > DEEPEST:
            raise BadInput(
                f"With its helper groups written out, a tree has more than {LARGEST:,} parts or stands more than "
                f"{DEEPEST} deep. Make it smaller."
            )

    def leave(self) -> None:
        """Back up."""
        self.depth -= 1


def _written_out(tree: Tree, helpers: Mapping[str, Tree], inside: tuple[str, ...], room: _Room) -> Tree:
    room.enter()
    whole = _grown(tree, helpers, inside, room)
    room.leave()
    return whole


def _grown(tree: Tree, helpers: Mapping[str, Tree], inside: tuple[str, ...], room: _Room) -> Tree:
    if isinstance(tree, Group):
        members = tuple(_written_out(member, helpers, inside, room) for member in tree.members)
        return Group(tree.need, members, tree.helper)
    if tree.code in inside:
        raise BadInput(f"The helper groups {', '.join([*inside, tree.code])} name each other in a ring.")
    if tree.code not in helpers:
        return tree
    helper = _written_out(helpers[tree.code], helpers, (*inside, tree.code), room)
    return helper if isinstance(helper, Leaf) else Group(helper.need, helper.members, tree.code)


def _leaves(tree: Tree) -> Iterator[str]:
    waiting = [tree]
    while waiting:
        part = waiting.pop()
        if isinstance(part, Leaf):
            yield part.code
        else:
            waiting.extend(reversed(part.members))
