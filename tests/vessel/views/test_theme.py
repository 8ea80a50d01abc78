import pytest

from vessel.views.theme import cookie_name

PAGE = "/account/login/"
pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("theme", "scheme"), [("day", "light"), ("contrast", "light"), ("night", "dark"), ("device", "light dark")]
)
def test_the_theme_stands_on_html_from_the_first_byte(client, theme, scheme):
    answer = client.post("/theme/", {"theme": theme, "next": PAGE})

    page = client.get(PAGE).content.decode()
    assert (answer.status_code, answer["Location"]) == (302, PAGE)
    assert f'class="{theme}"' in page[:80]
    assert f'content="{scheme}"' in page
    cookie = answer.cookies[cookie_name()]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")


@pytest.mark.parametrize("nonsense", ["", "disco", '"><script>'])
def test_nonsense_is_day(client, nonsense):
    client.cookies[cookie_name()] = nonsense

    assert 'class="day"' in client.get(PAGE).content.decode()
    assert client.post("/theme/", {"theme": nonsense}).cookies[cookie_name()].value == "day"


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)"])
def test_the_theme_form_sends_nobody_elsewhere(client, elsewhere):
    assert client.post("/theme/", {"theme": "night", "next": elsewhere})["Location"] == "/"


def test_a_theme_is_not_changed_by_following_a_link(client):
    assert client.get("/theme/").status_code == 405
