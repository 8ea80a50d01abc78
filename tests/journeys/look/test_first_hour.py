"""From the printed code to the first defect, with scripts and without."""

import re

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys.look.conftest import PHONE, open_page, sign_in
from tests.journeys.look.password import PASSWORD
from tests.maintenance.views.photo import a_jpeg
from tests.vessel.management.running import Service, wait_for

pytestmark = pytest.mark.browser


def test_the_code_printed_aboard_makes_the_first_owner_and_her_boat(browser: Browser, service: Service) -> None:
    wait_for(lambda: "good once and for 30 minutes" in service.said, service)
    code = re.search(r"30 minutes: (\S+)", service.said)
    assert code is not None
    page = open_page(browser, service, PHONE, scripts=False)
    page.goto("/")
    assert "/account/login/" in page.url
    page.click("text=Set one with a code")

    page.fill("#id_code", code[1].lower().replace("-", " "))
    page.fill("#id_username", "ines")
    page.fill("#id_password", PASSWORD)
    page.fill("#id_name", "Tallow Wren")
    page.select_option("#id_home_zone", "Europe/Lisbon")
    page.click("text=Make the account and the boat")

    expect(page.locator(".boat-name")).to_have_text("Tallow Wren")
    page.goto("/history/")
    assert "starting list was loaded" in page.content()
    assert PASSWORD not in service.said


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without scripts"])
def test_a_defect_is_reported_in_four_taps(browser: Browser, aboard: Service, *, scripts: bool) -> None:
    page = sign_in(open_page(browser, aboard, PHONE, scripts=scripts))

    page.tap(".bar >> text=Report")  # 1
    page.tap("#id_title")  # 2
    page.keyboard.type("Stern line chafed near the eye")
    page.set_input_files("#id_photo", {"name": "rope.jpg", "mimeType": "image/jpeg", "buffer": a_jpeg()})  # 3
    page.tap("text=Save the defect")  # 4

    expect(page.locator("h1")).to_have_text("Stern line chafed near the eye")
    expect(page.locator(".messages")).to_contain_text("Coming legs are being judged again")
    assert "Effect not known" in page.content()
    assert page.locator("details.photo").count() == 1


def test_a_reading_is_echoed_while_it_is_typed_and_an_ambiguous_unit_is_asked(
    browser: Browser, aboard: Service
) -> None:
    page = sign_in(open_page(browser, aboard, PHONE))
    page.goto("/defects/")
    page.tap("text=Oil cooler end seals weep")

    page.fill("#id_typed", "250 ml")
    expect(page.locator("output")).to_have_text("= 0.250 L")
    page.fill("#id_typed", "1/2 pt")
    expect(page.locator("output")).to_have_text("UK pt or US pt?")
    assert page.evaluate("document.activeElement.id") == "id_typed"
    page.fill("#id_engine_hours", "4212")
    page.tap("text=Save the reading")
    page.tap("text=UK pt = 0.284 L")

    expect(page.locator(".messages")).to_contain_text("written down")


def test_where_is_guessed_from_the_words_and_can_be_changed(browser: Browser, aboard: Service) -> None:
    page = sign_in(open_page(browser, aboard, PHONE))
    page.goto("/defects/report/")
    page.fill("#id_title", "Liferaft cradle bolt loose")
    page.locator("#id_title").blur()

    expect(page.locator("#where")).to_contain_text("Guessed from your words")
    assert "Liferaft" in page.locator("#id_equipment option:checked").inner_text()


def test_a_mistake_takes_the_focus_to_its_field(browser: Browser, aboard: Service) -> None:
    page = sign_in(open_page(browser, aboard, PHONE))
    page.goto("/defects/report/")
    page.tap("text=Save the defect")

    expect(page.locator("[role=alert]")).to_contain_text("Say in a few words what is wrong")
    assert page.evaluate("document.activeElement.id") == "id_title"
