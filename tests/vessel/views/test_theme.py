import pytest
from django.test import Client

from tests.factories.aboard import aboard, signed_in
from vessel.views.theme import cookie_name

PAGE = "/account/login/"
pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("theme", "scheme"), [("day", "light"), ("contrast", "light"), ("night", "dark"), ("device", "light dark")]
)
def test_the_theme_stands_on_html_from_the_first_byte(client: Client, theme: str, scheme: str) -> None:
    answer = client.post("/theme/", {"theme": theme, "next": PAGE})

    page = client.get(PAGE).content.decode()
    assert (answer.status_code, answer["Location"]) == (302, PAGE)
    assert f'class="{theme}"' in page[:80]
    assert f'content="{scheme}"' in page
    cookie = answer.cookies[cookie_name()]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")


@pytest.mark.parametrize("nonsense", ["", "disco", '"><script>'])
def test_nonsense_is_day(client: Client, nonsense: str) -> None:
    client.cookies[cookie_name()] = nonsense

    assert 'class="day"' in client.get(PAGE).content.decode()
    assert client.post("/theme/", {"theme": nonsense}).cookies[cookie_name()].value == "day"


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)"])
def test_the_theme_form_sends_nobody_elsewhere(client: Client, elsewhere: str) -> None:
    assert client.post("/theme/", {"theme": "night", "next": elsewhere})["Location"] == "/"


def test_a_theme_is_not_changed_by_following_a_link(client: Client) -> None:
    assert client.get("/theme/").status_code == 405


def test_a_script_that_changes_the_theme_in_place_is_told_what_it_is(client: Client) -> None:
    answer = client.post("/theme/", {"theme": "night", "next": PAGE}, headers={"Accept": "application/json"})

    assert answer.json() == {"key": "night", "color_scheme": "dark", "paper": "#000000"}
    assert answer.cookies[cookie_name()].value == "night"


def test_without_scripts_a_page_that_is_typed_on_stays_open_beside_the_new_theme(client: Client) -> None:
    browser = signed_in(aboard())

    assert ' target="_blank"' in browser.get("/defects/report/").content.decode()
    assert ' target="_blank"' not in browser.get("/history/").content.decode()
