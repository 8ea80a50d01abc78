import pytest
from django.test import Client

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
