from datetime import timedelta
from typing import Any

import pytest
import time_machine
from axes.models import AccessFailureLog
from django.contrib.auth.models import User
from django.test import Client

LOGIN = "/account/login/"
PASSWORD = "grey gulls over the bar"
pytestmark = pytest.mark.django_db


@pytest.fixture
def ines() -> User:
    return User.objects.create_user("ines", "ines@boat.test", PASSWORD)


def sign_in(client: Client, password: str = PASSWORD, name: str = "ines", **extra: Any) -> Any:
    return client.post(LOGIN, {"login": name, "password": password}, **extra)


def test_the_page_is_ours_and_helps_a_password_keeper(client: Client) -> None:
    page = client.get(LOGIN).content.decode()

    assert 'autocomplete="current-password"' in page
    assert "vessel/page.css" in page
    assert "/set-up/" in page
    assert "<style" not in page
    assert "sign up" not in page.lower()


@pytest.mark.parametrize("name", ["ines", "ines@boat.test"])
def test_name_or_e_mail_and_password_open_the_boat(client: Client, ines: User, name: str) -> None:
    answer = sign_in(client, name=name)

    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert client.session["_auth_user_id"] == str(ines.pk)


@pytest.mark.parametrize(("name", "password"), [("ines", "wrong"), ("nobody", PASSWORD), ("", PASSWORD), ("ines", "")])
def test_a_wrong_sign_in_is_told_and_does_not_say_which_part_was_wrong(
    client: Client, ines: User, name: str, password: str
) -> None:
    page = sign_in(client, password, name)

    assert page.status_code == 200
    assert 'role="alert"' in page.content.decode()
    assert "_auth_user_id" not in client.session


def test_nobody_can_make_an_account(client: Client) -> None:
    answer = client.post("/account/signup/", {"username": "eve", "password1": PASSWORD, "password2": PASSWORD})

    assert not User.objects.exists()
    assert "closed" in answer.content.decode().lower()


def test_wrong_passwords_cost_a_wait_that_ends_by_itself(client: Client, ines: User) -> None:
    with time_machine.travel("2026-07-10T09:30Z", tick=False) as clock:
        for _ in range(5):
            answer = sign_in(client, "wrong")
        assert answer.status_code == 429
        assert "1 min" in answer.content.decode()
        assert sign_in(client).status_code == 429

        clock.shift(timedelta(seconds=61))
        assert sign_in(client).status_code == 302


def test_the_wait_grows_but_never_past_a_quarter_of_an_hour(client: Client, ines: User) -> None:
    with time_machine.travel("2026-07-10T09:30Z", tick=False) as clock:
        for _ in range(8):
            for _ in range(5):
                answer = sign_in(client, "wrong")
            clock.shift(timedelta(minutes=16))
        assert "15 min" in answer.content.decode()
        assert answer["Retry-After"] == "900"
        assert AccessFailureLog.objects.count() >= 20
        assert sign_in(client).status_code == 302


def test_nobody_on_another_device_can_shut_the_owner_out(client: Client, ines: User) -> None:
    for _ in range(12):
        sign_in(client, "wrong", REMOTE_ADDR="192.168.1.66")

    assert sign_in(client, REMOTE_ADDR="192.168.1.66").status_code == 429
    assert sign_in(Client(), REMOTE_ADDR="192.168.1.5").status_code == 302


@pytest.mark.parametrize("address", ["/account/password/change/", "/account/2fa/", "/account/logout/"])
def test_pages_of_the_account_are_in_our_frame(client: Client, ines: User, address: str) -> None:
    client.force_login(ines)

    page = client.get(address)

    assert page.status_code == 200
    assert b"vessel/page.css" in page.content
    assert b"<script>" not in page.content
    assert b" style=" not in page.content


def test_who_is_not_signed_in_is_sent_to_sign_in(client: Client) -> None:
    answer = client.get("/account/password/change/")

    assert answer.status_code == 302
    assert answer["Location"].startswith(LOGIN)
