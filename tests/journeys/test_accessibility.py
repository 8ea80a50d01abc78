"""Every page in every theme and both widths: axe finds nothing, nothing hangs over the edge; and no scripts needed."""

import re
from io import BytesIO

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Page, expect

from tests.journeys.conftest import PATIENCE_MS, SIZES, Opener

pytestmark = pytest.mark.browser
PAGES = (
    "/", "/legs/", "/legs/1/", "/defects/", "/defects/4/", "/defects/report/", "/history/",
    "/legs/new/", "/legs/1/route/", "/coastlines/", "/legs/1/decide/", "/legs/1/plan/", "/legs/1/crew/",
    "/legs/1/under-way/", "/crew/", "/crew/2/",
    "/crew/add/", "/harbours/", "/harbours/6/", "/harbours/add/", "/harbours/6/gates/add/", "/gates/4/change/",
    "/gates/1/", "/gates/6/", "/gates/1/change/", "/gates/add/", "/gates/1/away/", "/harbours/1/away/", "/tides/",
    "/tides/2/", "/tides/3/rows/", "/tides/2/away/", "/streams/5/change/", "/streams/5/away/",
    "/tides/1/", "/tides/1/change/", "/tides/add/", "/streams/add/", "/forecasts/", "/forecasts/1/", "/forecasts/take/",
    "/forecasts/type/", "/forecasts/warnings/", "/feeds/add/", "/boat/speed/", "/boat/speed/table/add/", "/boat/speed/table/2/",
    "/boat/speed/sea/2/", "/boat/speed/runs/add/", "/boat/speed/runs/2/strike/", "/no-such-page/",
)  # fmt: skip
DOORS = ("/account/login/", "/set-up/")
THEMES = ("day", "contrast", "night")
MOST_GREEN_OR_BLUE = 16  # of 255: more spoils eyes that are used to the dark


def faults(page: Page) -> list[str]:
    """What axe finds: the rule and where."""
    found = Axe().run(page).response["violations"]
    return [f"{each['id']} at {node['target']}: {node['html'][:120]}" for each in found for node in each["nodes"]]


def overhang_px(page: Page) -> int:
    """How far the page reaches over the right edge."""
    over: int = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    return over


def brightest_green_or_blue(page: Page) -> int:
    """Of all pixels of the whole page."""
    with Image.open(BytesIO(page.screenshot(full_page=True))) as picture:
        return int(np.asarray(picture.convert("RGB"))[..., 1:].max())


def unfold(page: Page) -> None:
    """Open all that folds, so that it is looked at too."""
    page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })")


@pytest.mark.parametrize("path", PAGES + DOORS)
@pytest.mark.parametrize("size", SIZES)
def test_axe_finds_nothing_nothing_hangs_over_the_edge_and_night_is_red_on_black(
    opened: Opener, path: str, size: str
) -> None:
    page = opened(path, size=size, theme="night", signed_in=path not in DOORS)
    unfold(page)

    assert page.locator("html").get_attribute("class") == "night"
    assert brightest_green_or_blue(page) <= MOST_GREEN_OR_BLUE
    assert overhang_px(page) == 0
    assert {theme: faults(page) for theme in THEMES if put_on(page, theme)} == {theme: [] for theme in THEMES}


def put_on(page: Page, theme: str) -> bool:
    """Change the theme as the server would: the class of the page."""
    page.evaluate("(theme) => { document.documentElement.className = theme; }", theme)
    return page.locator("html").get_attribute("class") == theme


@pytest.mark.parametrize("path", PAGES[:-1])
def test_a_page_tells_the_same_without_scripts(opened: Opener, path: str) -> None:
    page = opened(path, scripts=False)

    assert page.locator("h1").inner_text().strip()
    assert overhang_without_scripts(page) <= 0
    if path == "/":
        assert page.locator(".verdict").inner_text().strip() in {"Go", "Go if", "Cannot say yet", "No-go"}


def overhang_without_scripts(page: Page) -> float:
    """How far the content reaches over the right edge, measured from outside."""
    box = page.locator("main").bounding_box()
    assert box is not None
    return box["x"] + box["width"] - SIZES["phone"][0]


def test_another_day_is_chosen_without_scripts(opened: Opener) -> None:
    page = opened("/legs/1/", scripts=False)
    rows = page.locator("tr.day")

    rows.nth(2).get_by_role("link").tap()

    expect(page).to_have_url(re.compile(r"/legs/1/\?at="))
    expect(rows.nth(2)).to_have_class(re.compile("chosen"))


def test_a_report_is_saved_without_scripts(opened: Opener) -> None:
    page = opened("/defects/report/", scripts=False)
    page.get_by_label("What is wrong?").fill("Galley drawer sticks")
    page.get_by_role("radio", name="no effect").tap()
    page.get_by_role("button", name="Save the defect").tap()

    expect(page.locator(".messages")).to_contain_text("is saved")
    expect(page.get_by_role("heading", level=1)).to_have_text("Galley drawer sticks")


def test_the_theme_is_changed_in_place_and_nothing_that_is_typed_is_lost(opened: Opener) -> None:
    page = opened("/defects/report/")
    page.get_by_label("What is wrong?").fill("Stern line chafed near the eye")

    page.locator("header").get_by_role("button", name="Night").tap()

    expect(page.locator("html")).to_have_class("night")
    expect(page.get_by_label("What is wrong?")).to_have_value("Stern line chafed near the eye")
    expect(page.locator("header").get_by_role("button", name="Day")).to_be_visible()
    expect(page.get_by_role("button", name="Night")).to_have_attribute("aria-pressed", "true")
    page.reload()
    expect(page.locator("html")).to_have_class("night")


def test_a_leg_is_decided_on_without_scripts(opened: Opener) -> None:
    page = opened("/legs/1/decide/", scripts=False)
    for tick in page.locator("input[name=accepted]").all():
        tick.check()
    page.get_by_role("button", name="We stay").tap()

    expect(page).to_have_url(re.compile(r"/legs/1/#decision-title"), timeout=PATIENCE_MS)
    expect(page.locator("#decision .reason").first).to_have_text("We stay.")
