"""Tokens made, listed and revoked on the command line."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from tests.factories.api import aboard, with_secret
from tests.factories.vessel import a_vessel
from vessel.models import ApiToken, Vessel

pytestmark = pytest.mark.django_db


@pytest.fixture
def vessel() -> Vessel:
    row = a_vessel()
    aboard(row)
    return row


def typed(*words: str) -> str:
    """What the command prints."""
    out = StringIO()
    call_command("api_token", *words, stdout=out)
    return out.getvalue()


def test_what_is_printed_lets_a_program_in(vessel: Vessel) -> None:
    printed = typed("--vessel", vessel.name, "--name", "Saloon display", "--scope", "read")

    secret = printed.splitlines()[-1]
    token = ApiToken.objects.get()
    assert printed.startswith(f"Saloon display ({token.prefix}…), read, until ")
    assert with_secret(secret).get("/api/v1/legs/").status_code == 200


def test_a_token_made_for_somebody_acts_as_them(vessel: Vessel) -> None:
    crew = aboard(vessel, "crew")

    typed("--name", "Logger", "--scope", "write", "--for", crew.user.username, "--days", "7")

    token = ApiToken.objects.get()
    assert token.membership == crew
    assert (token.expires_at - token.made_at).days == 7


def test_tokens_are_listed_without_their_secrets_and_revoked_by_their_first_letters(vessel: Vessel) -> None:
    secret = typed("--name", "Logger").splitlines()[-1]
    token = ApiToken.objects.get()

    listed = typed("--list")
    revoked = typed("--revoke", token.prefix)

    assert listed.startswith(f"{token.prefix}…  Logger, read, for ")
    assert "never used" in listed
    assert secret not in listed
    assert revoked == f"Revoked: {token}. It is refused from now on.\n"
    assert with_secret(secret).get("/api/v1/legs/").status_code == 401
    assert ", revoked " in typed("--list")


def test_a_vessel_without_tokens_says_so(vessel: Vessel) -> None:
    assert typed("--list") == "Tallow Wren has no tokens.\n"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--name", "Logger", "--vessel", "Other"], "no one vessel called Other"),
        (["--name", "Logger", "--for", "nobody"], "nobody is not aboard Tallow Wren"),
        (["--name", " "], "Not saved"),
        (["--name", "Logger", "--days", "0"], "can keep for 1 to 730 days"),
        (["--name", "Logger", "--days", "731"], "can keep for 1 to 730 days"),
        (["--revoke", "legw_none"], "No token begins with legw_none"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_sentence_with_status_2(vessel: Vessel, words: list[str], says: str) -> None:
    with pytest.raises(CommandError, match=says) as refused:
        typed(*words)

    assert refused.value.returncode == 2
    assert not ApiToken.objects.exists()


def test_with_two_owners_it_asks_whose_token_it_is(vessel: Vessel) -> None:
    aboard(vessel)

    with pytest.raises(CommandError, match="more than one owner; say whose"):
        typed("--name", "Logger")


def test_letters_that_begin_two_tokens_revoke_neither(vessel: Vessel) -> None:
    for name in ("A", "B"):
        typed("--name", name)

    with pytest.raises(CommandError, match="More than one token begins with legw_"):
        typed("--revoke", "legw_")

    assert ApiToken.objects.filter(revoked_at=None).count() == 2
