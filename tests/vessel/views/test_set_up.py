from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command
from django.test import Client
from django.utils import timezone

from vessel.actions.setup_code import new_code
from vessel.models import HistoryEntry, Membership, Role, Vessel

pytestmark = pytest.mark.django_db
PAGE = "/set-up/"
PASSWORD = "grey gulls over the bar"


def first(**changes: str) -> dict[str, str]:
    code = changes.pop("code", None) or new_code(at=timezone.now())
    return {"code": code, "username": "ines", "password": PASSWORD, "name": "Tallow Wren",
            "home_port": "Ostrel Haven", "home_zone": "Europe/Lisbon", "loa_m": "12.2", "beam_m": "",
            "draught_m": "1.25", "air_draught_m": "", **changes}  # fmt: skip


def demo_owner() -> User:
    user = User(username="ines")
    user.set_unusable_password()
    user.save()
    Membership.objects.create(user=user, vessel=Vessel.objects.create(name="Tallow Wren"), role=Role.OWNER)
    return user


def test_without_a_code_the_page_says_how_to_get_one(client: Client) -> None:
    page = client.get(PAGE)

    assert page.status_code == 200
    assert b"sign_in_code" in page.content
    assert b'name="password"' not in page.content
    assert "no-store" in page["Cache-Control"]


def test_the_command_prints_a_code_that_opens_the_page(client: Client, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("sign_in_code")

    code = capsys.readouterr().out.split(": ")[1].split()[0]
    client.post(PAGE, first(code=code))

    assert Vessel.objects.count() == 1


def test_the_first_owner_and_her_boat_are_made_and_she_is_signed_in(client: Client) -> None:
    answer = client.post(PAGE, first())

    assert (answer.status_code, answer["Location"]) == (302, "/")
    aboard = Membership.objects.get()
    assert (aboard.user.username, aboard.vessel.name, aboard.role) == ("ines", "Tallow Wren", "owner")
    assert (aboard.vessel.home_zone, aboard.vessel.loa_m, aboard.vessel.beam_m) == ("Europe/Lisbon", 12.2, None)
    assert client.session["_auth_user_id"] == str(aboard.user_id)
    assert aboard.user.check_password(PASSWORD)
    assert HistoryEntry.objects.get().what == "Tallow Wren was entered."


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"code": "0000-0000-0000"}, "not the one printed last"),
        ({"code": ""}, "This field is required"),
        ({"password": "short"}, "at least 12"),
        ({"password": "password1234"}, "too common"),
        ({"username": "in es"}, "valid username"),
        ({"name": ""}, "This field is required"),
        ({"home_zone": "Mars/Olympus"}, "Select a valid choice"),
        ({"loa_m": "-3"}, "greater than or equal to 1"),
    ],
)
def test_a_mistake_is_told_at_its_field_and_nothing_is_made(client: Client, changes: Any, said: str) -> None:
    sent = first()
    sent.update(changes)

    page = client.post(PAGE, sent)

    assert page.status_code == 422
    assert said in page.content.decode()
    assert 'role="alert"' in page.content.decode()
    assert "Ostrel Haven" in page.content.decode()
    assert (User.objects.count(), Vessel.objects.count(), HistoryEntry.objects.count()) == (0, 0, 0)


def test_a_mistake_does_not_use_the_code_up(client: Client) -> None:
    sent = first()
    client.post(PAGE, {**sent, "name": ""})

    assert client.post(PAGE, sent).status_code == 302


def test_a_code_used_by_one_opens_nothing_for_the_next(client: Client) -> None:
    sent = first()
    client.post(PAGE, sent)
    client.logout()

    page = client.post(PAGE, {**sent, "username": "ines"})

    assert page.status_code == 422
    assert User.objects.get().check_password(PASSWORD)


def test_the_owner_of_the_demo_gets_her_password_by_a_code(client: Client) -> None:
    user = demo_owner()
    code = new_code(at=timezone.now())

    assert 'value="ines"' in client.get(PAGE).content.decode()
    answer = client.post(PAGE, {"code": code, "username": "ines", "password": PASSWORD})

    assert answer.status_code == 302
    user.refresh_from_db()
    assert user.check_password(PASSWORD)
    assert Vessel.objects.count() == 1


def test_once_somebody_can_sign_in_the_page_names_nobody(client: Client) -> None:
    user = demo_owner()
    user.set_password(PASSWORD)
    user.save()
    new_code(at=timezone.now())

    assert "ines" not in client.get(PAGE).content.decode()


@pytest.mark.parametrize("name", ["tam", "nobody"])
def test_a_code_gives_a_password_to_owners_only(client: Client, name: str) -> None:
    demo_owner()
    tam = User.objects.create(username="tam")
    Membership.objects.create(user=tam, vessel=Vessel.objects.get(), role=Role.SKIPPER)
    code = new_code(at=timezone.now())

    page = client.post(PAGE, {"code": code, "username": name, "password": PASSWORD})

    assert page.status_code == 422
    assert "not the sign-in name of an owner" in page.content.decode()
    tam.refresh_from_db()
    assert not tam.check_password(PASSWORD)


def test_a_new_password_ends_the_other_sign_ins(client: Client, django_user_model: type[User]) -> None:
    user = demo_owner()
    user.set_password("an older long password")
    user.save()
    client.force_login(user)
    assert client.get("/account/password/change/").status_code == 200

    code = new_code(at=timezone.now())
    type(client)().post(PAGE, {"code": code, "username": "ines", "password": PASSWORD})

    assert client.get("/account/password/change/").status_code == 302
