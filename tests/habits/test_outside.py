"""One place opens connections to the outside; nothing else so much as imports what could."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.habits.source import APPS, ROOT, python_files, tree, where

CLIENTS = {
    "aiohttp", "ftplib", "http.client", "httpx", "imaplib", "nntplib", "poplib", "requests", "smtplib", "socketserver",
    "ssl", "telnetlib", "urllib.request", "urllib3", "webbrowser", "websocket", "websockets", "xmlrpc",
}  # fmt: skip
FETCH = Path("vessel/feeds/fetch.py")
# What else may know of sockets, and for what; none of these sends anything.
SOCKETS = {
    FETCH: "asks for data",
    Path("config/hosts.py"): "asks the system which way a packet would go",
    Path("vessel/management/door.py"): "looks whether its own port is free",
    Path("vessel/management/commands/work.py"): "reads this computer's name",
}


def imported(module: ast.Module) -> Iterator[str]:
    """Every module an import names, each part of its path and each thing taken out of it."""
    for node in ast.walk(module):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def reaches(module: ast.Module, names: set[str]) -> set[str]:
    return {name for name in imported(module) if any(name == one or name.startswith(f"{one}.") for one in names)}


def test_only_one_place_imports_what_opens_connections() -> None:
    found = {where(file): sorted(reaches(tree(file), CLIENTS)) for file in python_files(*APPS)}

    assert {file for file, clients in found.items() if clients} == {FETCH}


def test_sockets_are_known_only_where_it_is_written_down_what_for() -> None:
    found = {where(file) for file in python_files(*APPS) if reaches(tree(file), {"socket", "asyncio"})}

    assert found == SOCKETS.keys()


def test_every_place_that_is_named_is_there() -> None:
    assert all((ROOT / file).is_file() for file in SOCKETS)


@pytest.mark.parametrize(
    "line", ["import requests", "from urllib import request", "import urllib.request as r", "from http.client import *"]
)
def test_the_search_finds_what_it_is_for(line: str) -> None:
    assert reaches(ast.parse(line), CLIENTS)
