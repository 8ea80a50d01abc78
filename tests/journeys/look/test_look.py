"""Every page in a real browser: nothing for axe to find, nothing wider than the screen, night that stays red."""

import re
from io import BytesIO

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Browser, Page

from tests.journeys.look.conftest import DESK, PHONE, open_page, sign_in
from tests.vessel.management.running import Service

pytestmark = pytest.mark.browser
START = "/"
ELSEWHERE = re.compile(r"^/(api|static|account/logout)")
MOST_PAGES = 80
SMALL = """[...document.querySelectorAll('a, button, input:not([type=hidden]), select, textarea, summary')].filter(e => {
    const box = e.getBoundingClientRect(), label = e.closest('label');
    const inText = getComputedStyle(e).display === 'inline';
    return box.width && box.height < 43.5 && !inText && !label && !e.matches('.skip');
}).map(e => e.outerHTML.slice(0, 90))"""


def route(address: str) -> str:
    """The kind of page an address is: numbers and query values do not count."""
    path, _, query = address.partition("?")
    names = sorted(part.split("=")[0] for part in query.split("&") if part)
    return re.sub(r"\d+", "n", path) + ("?" + "&".join(names) if names else "")


def crawl(page: Page) -> list[str]:
    """One address of each kind that can be reached from home by links."""
    waiting, seen = [START], dict[str, str]()
    while waiting and len(seen) < MOST_PAGES:
        address = waiting.pop(0)
        if route(address) in seen or ELSEWHERE.match(address):
            continue
        answer = page.goto(address)
        assert answer is not None
        assert answer.status < 400, f"{address} answers {answer.status}"
        seen[route(address)] = address
        if "text/html" in answer.headers.get("content-type", ""):
            links = page.eval_on_selector_all("a[href]", "all => all.map(a => a.getAttribute('href'))")
            waiting += [link.split("#")[0] for link in links if link.startswith("/")]
    return [address for address in seen.values() if not re.search(r"/photos/", address)]


def change_theme(page: Page, button: str, theme: str) -> None:
    """In place: the page stays, its class changes once the server has kept it."""
    with page.expect_response("**/theme/"):
        page.click(button)
    page.wait_for_selector(f"html.{theme}", state="attached")


@pytest.mark.parametrize(
    ("size", "theme"), [(PHONE, "day"), (DESK, "contrast"), (PHONE, "night")], ids=["day", "contrast", "night"]
)
def test_axe_finds_nothing_and_every_page_fits(
    browser: Browser, aboard: Service, size: tuple[int, int], theme: str
) -> None:
    page = sign_in(open_page(browser, aboard, size))
    change_theme(page, f".themes button[value={theme}]", theme)
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type in {"error", "warning"} else None)
    page.on("requestfailed", lambda asked: complaints.append(asked.url))

    addresses = crawl(page)

    for address in addresses:
        page.goto(address)
        page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        found = Axe().run(page).response["violations"]
        assert not found, (address, [(fault["id"], fault["nodes"][0]["html"][:200]) for fault in found])
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{address} is too wide"
        assert page.evaluate(SMALL) == [], address
        assert not complaints, (address, complaints)
    assert len(addresses) >= 8


def test_night_stays_red_and_dark(browser: Browser, aboard: Service) -> None:
    page = sign_in(open_page(browser, aboard, PHONE))
    change_theme(page, ".top button[value=night]", "night")

    for address in crawl(page):
        page.goto(address)
        pixels = np.asarray(Image.open(BytesIO(page.screenshot(full_page=True))).convert("RGB"), float)
        linear = (pixels / 255) ** 2.2
        assert pixels[..., 1:].max() <= 16, f"{address} is not only red"
        assert (linear @ [0.2126, 0.7152, 0.0722]).mean() <= 0.03, f"{address} is too bright"


def test_a_page_fits_a_screen_of_320_px(browser: Browser, aboard: Service) -> None:
    page = sign_in(open_page(browser, aboard, (320, 640)))

    for address in crawl(page):
        page.goto(address)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{address} is too wide"


def test_the_keyboard_reaches_the_page_past_the_frame_and_sees_where_it_is(browser: Browser, aboard: Service) -> None:
    page = sign_in(open_page(browser, aboard, DESK))
    page.goto("/defects/report/")
    page.evaluate("document.activeElement.blur()")

    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")

    assert page.evaluate("document.activeElement.id") == "id_title"
    assert page.evaluate("getComputedStyle(document.activeElement).outlineWidth") == "3px"
