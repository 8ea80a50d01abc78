"""Tokens are made, shown once, and revoked; history tells it without the secret."""

from datetime import timedelta

import pytest

from tests.factories.api import aboard
from tests.factories.vessel import AT, BY, a_vessel
from vessel.actions.token import LONGEST, digest_of, make_token, note_use, revoke_token
from vessel.errors import BadInput, Refused
from vessel.models import ApiToken, HistoryEntry, Membership

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> Membership:
    return aboard(a_vessel())


def test_a_token_keeps_only_the_hash_of_its_secret(owner: Membership) -> None:
    token, secret = make_token(membership=owner, name=" Display ", scope="read", by=BY, at=AT)

    assert (token.name, token.digest, token.prefix) == ("Display", digest_of(secret), secret[:11])
    assert token.expires_at - AT == timedelta(days=365)
    assert secret not in {str(value) for value in ApiToken.objects.values().get().values()}


def test_two_tokens_are_never_alike(owner: Membership) -> None:
    secrets = {make_token(membership=owner, name="Display", scope="read", by=BY, at=AT)[1] for _ in range(20)}

    assert len(secrets) == 20


def test_history_tells_that_a_token_was_made_and_revoked(owner: Membership) -> None:
    token, secret = make_token(membership=owner, name="Display", scope="write", by=BY, at=AT)
    revoke_token(token_id=token.pk, by=BY, at=AT + timedelta(days=1))

    told = [entry.what for entry in HistoryEntry.objects.filter(noun="token", noun_key=token.prefix)]
    assert told == [
        f"A token for a program was made: Display ({token.prefix}…), read and write, until 10 July 2027.",
        f"A token for a program was revoked: Display ({token.prefix}…).",
    ]
    assert secret not in " ".join(told)


@pytest.mark.parametrize("keeps", [timedelta(0), timedelta(days=-1), LONGEST + timedelta(seconds=1)])
def test_a_token_that_would_keep_for_ever_or_not_at_all_is_refused(owner: Membership, keeps: timedelta) -> None:
    with pytest.raises(BadInput, match="No token was made"):
        make_token(membership=owner, name="Display", scope="read", by=BY, at=AT, keeps=keeps)

    assert not ApiToken.objects.exists()


@pytest.mark.parametrize("keeps", [timedelta(seconds=1), LONGEST])
def test_a_token_may_keep_up_to_two_years(owner: Membership, keeps: timedelta) -> None:
    token, _ = make_token(membership=owner, name="Display", scope="read", by=BY, at=AT, keeps=keeps)

    assert token.expires_at == AT + keeps


@pytest.mark.parametrize(("name", "scope"), [("", "read"), ("  ", "read"), ("x" * 81, "read"), ("Display", "all")])
def test_a_token_without_a_name_or_with_a_scope_that_is_none_is_refused(
    owner: Membership, name: str, scope: str
) -> None:
    with pytest.raises(BadInput, match="Not saved"):
        make_token(membership=owner, name=name, scope=scope, by=BY, at=AT)

    assert not ApiToken.objects.exists()
    assert not HistoryEntry.objects.exists()


def test_a_token_is_revoked_once(owner: Membership) -> None:
    token, _ = make_token(membership=owner, name="Display", scope="read", by=BY, at=AT)
    revoke_token(token_id=token.pk, by=BY, at=AT)

    with pytest.raises(Refused, match="was revoked on 10 July 2026 already"):
        revoke_token(token_id=token.pk, by=BY, at=AT + timedelta(days=1))

    token.refresh_from_db()
    assert token.revoked_at == AT


@pytest.mark.parametrize(("later", "noted"), [(599, False), (600, True)])
def test_use_is_noted_to_ten_minutes(owner: Membership, later: int, noted: bool) -> None:
    token, _ = make_token(membership=owner, name="Display", scope="read", by=BY, at=AT)
    note_use(token=token, at=AT)
    token.refresh_from_db()

    note_use(token=token, at=AT + timedelta(seconds=later))

    token.refresh_from_db()
    assert token.last_used_at == AT + timedelta(seconds=later if noted else 0)
