"""Words that have no place here: they point to papers a reader does not have, or to a way of working."""

import re

import pytest

from tests.habits.source import text_files, where

# Written in two halves, so that this file does not hold what it forbids.
NOWHERE = {
    "papers a reader does not have": r"\bthe hand" + r"book\b|\bannex" + r" B\b",
    "rule letters of such a paper": r"\b[BDEFHJLMNQSTW]" + r"-\d\d\b",
    "paths of one computer": r"(?<![\w.])/(wo" + r"rk|ro" + r"ot|ho" + r"me)/",
    "work left for later": r"\bTO" + r"DO\b|\bFIX" + r"ME\b|\bX" + r"XX\b",
    "somebody's dialogue": r"\bas an " + r"AI\b|\blanguage " + r"model\b|\bsub" + r"agents?\b",
}


@pytest.mark.parametrize("kind", NOWHERE)
def test_no_file_holds(kind: str) -> None:
    pattern = re.compile(NOWHERE[kind])
    found = [
        f"{where(file)}:{number}: {line.strip()[:100]}"
        for file in text_files()
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if pattern.search(line)
    ]

    assert found == []


@pytest.mark.parametrize(
    "sentence", ["see the hand" + "book", "rule H" + "-04 says", "in /wo" + "rk/main", "# TO" + "DO: later"]
)
def test_the_patterns_find_what_they_are_for(sentence: str) -> None:
    assert any(re.search(pattern, sentence) for pattern in NOWHERE.values())
