"""Where nothing is held yet a page shows what would stand there: it says that it is an example, and no paper carries it."""

import re

from tests.habits.source import ROOT, text_files, where

TEMPLATES = [file for file in text_files() if file.suffix == ".html" and "templates" in file.parts]
EXAMPLE = re.compile(r'<(\w+)[^>]*\bclass="[^"]*\bexample\b[^"]*"[^>]*>([^<]*)')
EMPTY = re.compile(r'<div class="empty">(.*?)</div>', re.DOTALL)


def examples(text: str) -> list[tuple[str, str]]:
    """Element and first words of every example of a template."""
    return EXAMPLE.findall(text)


def test_every_example_line_says_that_it_is_one() -> None:
    lines = [(where(file), words) for file in TEMPLATES for tag, words in examples(file.read_text()) if tag != "pre"]

    assert len(lines) >= 10
    assert [(str(file), words) for file, words in lines if not words.startswith("Such as: ")] == []


def test_an_empty_page_holds_no_example_of_another_shape() -> None:
    parts = [part for file in TEMPLATES for part in EMPTY.findall(file.read_text())]

    assert len(parts) >= 10
    assert [part for part in parts for tag, _ in examples(part) if tag != "p"] == []


def test_a_line_that_does_not_say_so_is_found() -> None:
    assert examples('<p class="example">Skarn Narrows: open until 15:54</p>') == [
        ("p", "Skarn Narrows: open until 15:54")
    ]


def test_no_example_line_is_printed_and_each_is_in_pencil() -> None:
    styles = ROOT / "vessel" / "static" / "vessel"
    printed = (styles / "print.css").read_text().split("@media print {")[1]

    assert re.search(r"(?<![\w.-])p\.example \{ display: none; \}", printed)
    assert re.search(r"\.example \{ color: var\(--pencil\);", (styles / "page.css").read_text())
