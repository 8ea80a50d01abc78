"""The page of the API in a real browser, under the content policy every page has."""

import pytest
from playwright.sync_api import sync_playwright
from pytest_django.live_server_helper import LiveServer

from tests.factories.api import aboard, signed_in
from tests.factories.vessel import a_vessel

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
CHROMIUM = "/usr/bin/chromium"


def test_the_page_draws_the_description_and_the_policy_blocks_nothing(live_server: LiveServer) -> None:
    cookies = signed_in(aboard(a_vessel())).cookies
    said: list[str] = []
    asked: list[str] = []

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM)
        page = browser.new_page()
        page.context.add_cookies([{"name": n, "value": c.value, "url": live_server.url} for n, c in cookies.items()])
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{live_server.url}/api/v1/docs/")
        page.get_by_text("/api/v1/legs/{id}/verdict/").wait_for()
        drawn = page.locator(".opblock").count()
        browser.close()

    assert drawn == 6
    assert said == []
    assert [url for url in asked if not url.startswith((live_server.url, "data:"))] == []
