"""Looking up tomorrow's tide, and typing down what the radio says."""

import re

import pytest
from playwright.sync_api import expect

from readiness.forms.forecast import BULLETIN
from tests.journeys.conftest import Opener

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("scripts", [True, False])
def test_the_next_day_is_one_tap_away_and_has_an_address_of_its_own(opened: Opener, scripts: bool) -> None:
    page = opened("/harbours/6/", scripts=scripts)
    expect(page.get_by_role("heading", name="Tide on Friday 14 May")).to_be_visible()

    page.get_by_role("link", name="Day after").tap()

    expect(page.get_by_role("heading", name="Tide on Saturday 15 May")).to_be_visible()
    expect(page).to_have_url(re.compile(r"/harbours/6/\?day=2027-05-15&from=2027-05-14"))
    expect(page.get_by_role("heading", name="Tide table, Fri 14 May to Thu 20 May")).to_be_visible()
    expect(page.get_by_role("heading", name="Morrowick Basin")).to_be_visible()


def test_a_bulletin_is_echoed_line_by_line_while_it_is_typed_and_then_taken_in(opened: Opener) -> None:
    page = opened("/forecasts/type/")
    box = page.get_by_label("Bulletin")
    older = BULLETIN.replace("issued 2027-05-14T16:00Z", "issued 2027-05-14T10:00Z")  # the demo's own stays in use

    box.fill(older.replace("moderate", "bumpy", 1))
    expect(page.locator("#echo .error")).to_contain_text("bumpy")
    box.fill(older)
    expect(page.locator("#echo")).to_contain_text("Every line is understood.")
    expect(box).to_be_focused()
    page.get_by_role("button", name="Take it in").tap()

    expect(page.get_by_role("heading", level=1)).to_have_text("coast radio")


def test_another_harbour_is_drawn_without_leaving_the_forecast(opened: Opener) -> None:
    page = opened("/forecasts/1/")

    page.get_by_role("link", name="Ostrel Haven").tap()

    expect(page.get_by_role("heading", name="Weather at Ostrel Haven")).to_be_visible()
    expect(page).to_have_url(re.compile(r"\?at=\d+"))
