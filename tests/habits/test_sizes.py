"""Files and functions that can be read at one sitting."""

import ast

from tests.habits.source import APPS, functions, python_files, where

LONGEST_FILE = 300
LONGEST_FUNCTION = 50


def test_no_file_is_longer_than_300_lines() -> None:
    lines = {where(file): len(file.read_text(encoding="utf-8").splitlines()) for file in python_files(*APPS, "tests")}

    assert {str(file): count for file, count in lines.items() if count > LONGEST_FILE} == {}


def test_no_function_is_longer_than_50_lines() -> None:
    lengths = {
        f"{where(file)} {function.name}": (function.end_lineno or 0) - function.lineno + 1
        for file in python_files(*APPS, "tests")
        for function in functions(file)
    }

    assert {name: length for name, length in lengths.items() if length > LONGEST_FUNCTION} == {}


def test_nothing_is_imported_inside_a_function() -> None:
    hidden = [
        f"{where(file)}:{node.lineno}"
        for file in python_files(*APPS, "tests")
        for function in functions(file)
        for node in ast.walk(function)
        if isinstance(node, ast.Import | ast.ImportFrom)
    ]

    assert hidden == []
