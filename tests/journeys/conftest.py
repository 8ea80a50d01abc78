"""A browser and the demo it walks through. The server is a process of its own, so that neither waits for the other."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import msgspec
import pytest
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-first-run",
)  # fmt: skip
SIZES = {"phone": (360, 740), "desktop": (1280, 900)}
PATIENCE_MS = 30_000


class Served(msgspec.Struct, frozen=True):
    """Where the demo is served, the cookie of its owner's session, and the name of the cookie of the theme."""

    address: str
    session: dict[str, str]
    theme: str


Opener = Callable[..., Page]


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The demo behind an address."""
    data = tmp_path_factory.mktemp("served")
    with _process(data) as process:
        assert process.stdout is not None
        assert process.stdin is not None
        line = process.stdout.readline()
        assert line, f"The demo was not served: {(data / 'log').read_text()[-2000:]}"
        yield msgspec.convert(json.loads(line), Served)
        process.stdin.close()
        process.wait(timeout=30)


def _process(data: Path) -> "subprocess.Popen[str]":
    environment = {name: value for name, value in os.environ.items() if not name.startswith("LEGWORTHY_")}
    with (data / "log").open("w") as log:
        return subprocess.Popen(
            [sys.executable, "-m", "tests.journeys.served_demo"], cwd=ROOT, env={**environment, "DATA": str(data)},
            text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=log,
        )  # fmt: skip


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Ended with the module: while it lives, an event loop runs here, and other tests could not use the database."""
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield launched
        launched.close()


@pytest.fixture
def opened(browser: Browser, served: Served) -> Iterator[Opener]:
    """Opens a page of the demo: size, theme, whether scripts run, whether somebody is signed in."""
    with ExitStack() as closing:

        def open_page(
            path: str, *, size: str = "phone", theme: str = "day", scripts: bool = True, signed_in: bool = True
        ) -> Page:
            width, height = SIZES[size]
            context = browser.new_context(
                viewport={"width": width, "height": height}, has_touch=size == "phone", base_url=served.address,
                java_script_enabled=scripts,
            )  # fmt: skip
            closing.callback(context.close)
            context.set_default_timeout(PATIENCE_MS)
            context.add_cookies([{"name": served.theme, "value": theme, "url": served.address}])
            if signed_in:
                cookie = served.session
                context.add_cookies([{"name": cookie["name"], "value": cookie["value"], "url": served.address}])
            page = context.new_page()
            page.goto(path)
            return page

        yield open_page
