"""Who may come in: tokens that are good, and all those that are not, answered alike."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core import serializers
from django.test import Client

from tests.factories.api import a_program, a_token, aboard, problem_of, signed_in, with_secret
from tests.factories.vessel import a_vessel
from vessel.actions.token import revoke_token
from vessel.models import ApiToken, HistoryEntry, Membership

pytestmark = pytest.mark.django_db
LEGS = "/api/v1/legs/"
REFUSED = "This token is not known, has run out or was revoked."


@pytest.fixture
def owner() -> Membership:
    return aboard(a_vessel())


def test_a_good_token_reads(owner: Membership) -> None:
    _, secret = a_token(owner)

    answer = with_secret(secret).get(LEGS)

    assert answer.status_code == 200
    assert answer.json() == {"next": None, "previous": None, "results": []}
    assert answer["Cache-Control"] == "private, no-cache"


def test_without_sign_in_or_token_it_is_401_and_says_how(client: Client) -> None:
    answer = client.get(LEGS)

    assert answer.status_code == 401
    assert answer["WWW-Authenticate"] == "Bearer"
    assert problem_of(answer)["to_do"] == "Send a token in the header Authorization: Bearer ..."


def spoilt(how: str, owner: Membership) -> str:
    """The secret of a token spoilt in this way."""
    if how == "never was":
        return "legw_never-was"
    keeps = timedelta(hours=1) if how == "run out" else timedelta(days=30)
    token, secret = a_token(owner, keeps=keeps)
    if how == "revoked":
        revoke_token(token_id=token.pk, by="owner-0a1b2c", at=datetime.now(UTC))
    if how == "person shut out":
        owner.user.is_active = False
        owner.user.save()
    if how == "person left":
        owner.delete()
    return secret


@pytest.mark.parametrize("how", ["never was", "run out", "revoked", "person shut out", "person left"])
def test_a_token_that_is_not_good_is_401_and_does_not_say_why(owner: Membership, how: str) -> None:
    answer = with_secret(spoilt(how, owner)).get(LEGS)

    assert answer.status_code == 401
    assert problem_of(answer)["detail"] == REFUSED


def test_revoking_works_at_once(owner: Membership) -> None:
    token, secret = a_token(owner)
    program = with_secret(secret)
    before = program.get(LEGS).status_code

    revoke_token(token_id=token.pk, by="owner-0a1b2c", at=datetime.now(UTC))

    assert (before, program.get(LEGS).status_code) == (200, 401)


@pytest.mark.parametrize("name", ["token", "access_token", "api_key"])
def test_a_token_in_an_address_is_not_looked_at(owner: Membership, client: Client, name: str) -> None:
    _, secret = a_token(owner)

    assert client.get(LEGS, {name: secret}).status_code == 401


def test_the_secret_is_kept_nowhere(owner: Membership) -> None:
    token, secret = a_token(owner)
    with_secret(secret).get(LEGS)

    dump = serializers.serialize("json", [*ApiToken.objects.all(), *HistoryEntry.objects.all()])

    assert token.prefix in dump
    assert secret not in dump
    assert secret.removeprefix(token.prefix) not in dump
    assert len(secret) >= len("legw_") + 43  # 256 bits in base 64


def test_last_use_is_noted_but_not_written_at_each_request(owner: Membership) -> None:
    token, secret = a_token(owner)
    program = with_secret(secret)

    program.get(LEGS)
    token.refresh_from_db()
    first = token.last_used_at
    program.get(LEGS)
    token.refresh_from_db()

    assert first is not None
    assert token.last_used_at == first


def test_signed_in_on_the_pages_one_may_read_but_not_write(owner: Membership) -> None:
    person = signed_in(owner)

    assert person.get(LEGS).status_code == 200
    assert person.post("/api/v1/defects/", "{}", content_type="application/json").status_code == 403


def test_signed_in_but_aboard_nothing_it_is_403(owner: Membership) -> None:
    person = signed_in(owner)
    owner.delete()

    answer = person.get(LEGS)

    assert answer.status_code == 403
    assert "Ask her owner" in problem_of(answer)["detail"]


@pytest.mark.parametrize(
    ("scope", "role", "status"),
    [("read", "owner", 403), ("write", "viewer", 403), ("write", "crew", 201), ("write", "owner", 201)],
)
def test_a_token_writes_only_where_its_scope_and_its_persons_role_allow(scope: str, role: str, status: int) -> None:
    vessel = a_vessel()
    program = a_program(vessel, scope, role)

    answer = program.post("/api/v1/defects/", json.dumps({"title": "Weeps"}), content_type="application/json")

    assert answer.status_code == status
    assert vessel.defects.count() == (status == 201)


def test_too_many_requests_are_429_and_say_how_long_to_wait(owner: Membership, monkeypatch: Any) -> None:
    program = with_secret(a_token(owner)[1])
    monkeypatch.setattr("rest_framework.throttling.SimpleRateThrottle.THROTTLE_RATES", {"read": "2/min"})

    answers = [program.get(LEGS) for _ in range(3)]

    assert [answer.status_code for answer in answers] == [200, 200, 429]
    assert 1 <= int(answers[2]["Retry-After"]) <= 60
    assert problem_of(answers[2])["title"] == "Too Many Requests"


def test_a_logs_reader_finds_no_secret(owner: Membership, caplog: pytest.LogCaptureFixture, tmp_path: Path) -> None:
    _, secret = a_token(owner)
    program = with_secret(secret)

    program.get(LEGS)
    program.get("/api/v1/legs/999/")

    assert secret not in caplog.text
