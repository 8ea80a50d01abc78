"""The house's own files, as the tests of its habits read them."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
APPS = ("config", "vessel", "maintenance", "readiness")
TEXTS = {".py", ".md", ".html", ".txt", ".css", ".js", ".toml", ".yaml", ".svg", ""}
ELSEWHERE = {".venv", ".git", "data", "build", "__pycache__", "LICENSE"}

Function = ast.FunctionDef | ast.AsyncFunctionDef


def python_files(*folders: str) -> list[Path]:
    """Python files below these folders, migrations left out: a machine writes those."""
    files = (file for folder in folders for file in (ROOT / folder).rglob("*.py"))
    return sorted(file for file in files if "migrations" not in file.parts)


def text_files() -> list[Path]:
    """Everything that is written for people or by them, tables of published values left out."""
    files = (file for file in ROOT.rglob("*") if file.is_file() and file.suffix in TEXTS)
    ours = (file for file in files if not ELSEWHERE & set(file.relative_to(ROOT).parts))
    return sorted(
        file for file in ours if not any(part.startswith(".") and part != ".ci" for part in where(file).parts)
    )


def where(file: Path) -> Path:
    return file.relative_to(ROOT)


@cache
def tree(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"))


def functions(file: Path) -> Iterator[Function]:
    for node in ast.walk(tree(file)):
        if isinstance(node, Function):
            yield node
