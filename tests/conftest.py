"""What every test stands on: no network, a data folder of its own, a fixed moment; and what was left out is said."""

import os
import socket
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.test import override_settings

AT = datetime(2026, 7, 10, 9, 30, tzinfo=UTC)

# Marks of tests that need something from outside, and what it is; LEGWORTHY_REQUIRE names those that must run.
OUTSIDE = {
    "browser": "need the Chromium browser",
    "redis": "need a Redis server",
    "postgres": "need a PostgreSQL server",
}
LEFT_OUT: Counter[str] = Counter()
NO_DATA = "got empty parameter set"


class NetworkIsOffError(AssertionError):
    """A test reached for an address outside this computer."""


@pytest.fixture
def at() -> datetime:
    """The moment a test plays at; the clock is passed in, never read."""
    return AT


@pytest.fixture(scope="session", autouse=True)
def _settings_for_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    data = tmp_path_factory.mktemp("data")
    quick = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    with override_settings(DATA=data, MEDIA_ROOT=data / "attachments", PASSWORD_HASHERS=quick):
        yield


@pytest.fixture
def data_folder(tmp_path: Path) -> Iterator[Path]:
    """A data folder for this test alone."""
    with override_settings(DATA=tmp_path):
        yield tmp_path


@pytest.fixture(scope="session", autouse=True)
def _network_off() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for name in ("connect", "connect_ex"):
            patch.setattr(socket.socket, name, _only_this_computer(getattr(socket.socket, name)))
        yield


def _only_this_computer(connect: Any) -> Any:
    def guarded(self: socket.socket, address: Any) -> Any:
        if self.family in (socket.AF_INET, socket.AF_INET6) and not _is_here(str(address[0])):
            raise NetworkIsOffError(f"A test reached for {address[0]}; tests stay on this computer.")
        return connect(self, address)

    return guarded


def _is_here(host: str) -> bool:
    return host in {"localhost", "::1"} or host.startswith("127.")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    asked_for = {name.strip() for name in os.environ.get("LEGWORTHY_REQUIRE", "").split(",")} - {""}
    if unknown := asked_for - OUTSIDE.keys():
        raise pytest.UsageError(f"LEGWORTHY_REQUIRE names {sorted(unknown)}; it can name {', '.join(OUTSIDE)}.")
    left_out = {item: mark for item in items if (mark := _first_mark(item, OUTSIDE.keys() - asked_for))}
    if left_out:
        LEFT_OUT.update(left_out.values())
        config.hook.pytest_deselected(items=list(left_out))
        items[:] = [item for item in items if item not in left_out]


def _first_mark(item: pytest.Item, names: set[str]) -> str | None:
    return next((name for name in OUTSIDE if name in names and item.get_closest_marker(name)), None)


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """With -n, each process collects the same tests: what one of them left out is what was left out."""
    for name, count in getattr(node, "workeroutput", {}).get("left_out", {}).items():
        LEFT_OUT[name] = max(LEFT_OUT[name], count)


def pytest_sessionfinish(session: pytest.Session) -> None:
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["left_out"] = dict(LEFT_OUT)


def pytest_terminal_summary(terminalreporter: Any) -> None:
    for name, count in LEFT_OUT.items():
        terminalreporter.write_line(
            f"left out: {count} test(s) that {OUTSIDE[name]}; LEGWORTHY_REQUIRE={name} runs them."
        )
    skipped = [str(report.longrepr) for report in terminalreporter.stats.get("skipped", [])]
    if unfed := sum(NO_DATA in reason for reason in skipped):
        terminalreporter.write_line(
            f"left out: {unfed} test(s) that read more reference data; LEGWORTHY_REFDATA names its folder."
        )
    if others := len(skipped) - unfed:
        terminalreporter.write_line(f"left out: {others} test(s) for the reasons listed below.")
    if not LEFT_OUT and not skipped:
        terminalreporter.write_line("left out: nothing.")
