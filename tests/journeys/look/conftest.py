"""A real service on a folder of its own, and a real browser of a phone or a desk before it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.journeys.look.password import PASSWORD
from tests.vessel.management.running import Service, a_free_port, manage, python, start

PHONE, DESK = (360, 740), (1280, 900)


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """Nothing set up yet: the service prints a code."""
    folder = data_folder(tmp_path_factory)
    running = start(folder, a_free_port())
    yield running
    running.end()


@pytest.fixture(scope="module")
def aboard(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """A boat with an owner, a watched defect and a few more things to look at."""
    folder = data_folder(tmp_path_factory)
    assert manage(folder, "migrate", "-v0").returncode == 0
    seeded = python(folder, "-m", "tests.journeys.look.seed")
    assert seeded.returncode == 0, seeded.stderr
    running = start(folder, a_free_port())
    yield running
    running.end()


def data_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("journey") / "data"
    folder.mkdir(mode=0o700)
    return folder


def open_page(browser: Browser, service: Service, size: tuple[int, int], *, scripts: bool = True) -> Page:
    """A fresh browser window on the service."""
    context = browser.new_context(
        base_url=f"http://localhost:{service.port}",
        viewport={"width": size[0], "height": size[1]},
        has_touch=size == PHONE,
        java_script_enabled=scripts,
        reduced_motion="reduce",
    )
    return context.new_page()


def sign_in(page: Page) -> Page:
    page.goto("/account/login/")
    page.fill("#id_login", "ines")
    page.fill("#id_password", PASSWORD)
    page.click("main button.first")
    page.wait_for_url("**/")
    return page
