"""A defect reported from a phone, seen at once in the next leg's verdict, found from there, mended, and gone from it."""

import re
from dataclasses import dataclass

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.conftest import Opener
from tests.maintenance.views.photo import a_jpeg

pytestmark = pytest.mark.browser
WORDS = "Main diesel stops after a minute and will not start"
PHOTO = {"name": "diesel.jpg", "mimeType": "image/jpeg", "buffer": a_jpeg()}
MOST_TAPS = 4
LEG = "Ostrel Haven to Morrowick Basin"


@dataclass
class Finger:
    """Taps, and counts them."""

    page: Page
    taps: int = 0

    def tap(self, role: str, name: str | re.Pattern[str]) -> None:
        """On the one thing of this role and name that can be seen."""
        self.page.get_by_role(role, name=name).filter(visible=True).tap()  # type: ignore[arg-type]
        self.taps += 1


def verdict(page: Page) -> tuple[str, str]:
    """The word and the first reason, as read."""
    return page.locator(".verdict").inner_text().strip(), page.locator(".reason").first.inner_text().strip()


def report_engine(page: Page) -> str:
    """From home: four taps, a few words and a photo. Returns the code of the defect."""
    finger = Finger(page)
    finger.tap("link", "Report")
    page.get_by_label("What is wrong?").fill(WORDS)
    with page.expect_file_chooser() as chooser:
        page.get_by_label("Photo").tap()
        finger.taps += 1
    chooser.value.set_files(PHOTO)  # type: ignore[arg-type]
    expect(page.get_by_text("Guessed from your words")).to_be_visible()
    finger.tap("radio", "disables it")
    finger.tap("button", "Save the defect")
    expect(page.locator(".messages")).to_contain_text("is saved")
    assert finger.taps <= MOST_TAPS
    found = re.search(r"DEF-\d+", page.locator(".messages").inner_text())
    assert found
    return found[0]


def test_a_defect_reported_in_four_taps_turns_the_verdict_and_mending_it_turns_it_back(opened: Opener) -> None:
    page = opened("/")
    before = verdict(page)

    code = report_engine(page)

    expect(page.get_by_role("heading", level=1)).to_have_text(WORDS)
    expect(page.get_by_text("Disables Main diesel (EN-01).")).to_be_visible()
    page.get_by_text("Photo 1").tap()
    expect(page.get_by_role("img", name=f"{WORDS}, photo 1")).to_be_visible()

    page.get_by_role("link", name="Today").filter(visible=True).tap()

    word, reason = verdict(page)
    assert before[0] != "No-go"
    assert word == "No-go"
    assert code in reason

    page.get_by_role("region", name=LEG).get_by_role("link", name=code).tap()
    expect(page.get_by_role("heading", level=1)).to_have_text(WORDS)
    page.go_back()
    assert verdict(page)[0] == "No-go"

    page.get_by_role("region", name=LEG).get_by_role("link", name=code).tap()
    page.get_by_label("How was it mended, and how was it tried?").fill("Fuel shut-off was half closed; ran an hour.")
    page.get_by_role("button", name="It is mended and tried").tap()
    expect(page.locator(".messages")).to_contain_text(f"{code} is mended")

    page.get_by_role("link", name="Today").filter(visible=True).tap()
    assert verdict(page) == before


def test_the_leg_names_the_defect_and_leads_to_it_and_back(opened: Opener) -> None:
    page = opened("/")
    code = report_engine(page)

    page.goto("/")
    page.get_by_role("link", name="All reasons and sums").tap()

    assert verdict(page)[0] == "No-go"
    page.locator("article.finding").get_by_role("link", name=code).first.tap()
    expect(page.get_by_role("heading", level=1)).to_have_text(WORDS)

    page.go_back()
    assert verdict(page)[0] == "No-go"
    page.go_forward()
    page.get_by_role("link", name="the next leg's verdict").tap()
    assert verdict(page)[0] == "No-go"

    page.go_back()
    page.get_by_label("How was it mended, and how was it tried?").fill("Bled; ran an hour.")
    page.get_by_role("button", name="It is mended and tried").tap()
    expect(page.locator(".messages")).to_contain_text("is mended")
