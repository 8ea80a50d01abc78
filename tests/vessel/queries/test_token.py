"""Whose token it is, until when, and what it may do."""

from datetime import timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from tests.factories.api import a_token, aboard
from tests.factories.vessel import AT, a_vessel
from vessel.models import Role, Scope
from vessel.queries.permission import TABLE, may
from vessel.queries.token import DEEDS, token_may, token_of_digest

pytestmark = pytest.mark.django_db


def test_a_token_is_found_with_its_person_and_vessel_in_one_query(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    token, _ = a_token(aboard(a_vessel()), at=AT)

    with django_assert_num_queries(1):
        found = token_of_digest(token.digest, AT)
        assert found is not None
        assert found.membership.user.username
        assert found.membership.vessel.name == "Tallow Wren"


@pytest.mark.parametrize(("later_s", "good"), [(-1, True), (0, False), (1, False)])
def test_a_token_is_good_until_it_runs_out(later_s: float, good: bool) -> None:
    token, _ = a_token(aboard(a_vessel()), at=AT)

    found = token_of_digest(token.digest, token.expires_at + timedelta(seconds=later_s))

    assert (found is not None) == good


@pytest.mark.parametrize("role", Role.values)
@pytest.mark.parametrize("scope", Scope.values)
@pytest.mark.parametrize("deed", [*TABLE, "scuttle"])
def test_a_token_may_do_what_both_its_scope_and_its_persons_role_allow(role: str, scope: str, deed: str) -> None:
    token, _ = a_token(aboard(a_vessel(), role), scope)

    assert token_may(token, deed) == (deed in DEEDS[Scope(scope)] and may(role, deed))


def test_every_scope_names_its_deeds_and_none_a_persons_own() -> None:
    assert set(DEEDS) == set(Scope)
    assert DEEDS[Scope.READ] == {"read"}
    for deeds in DEEDS.values():
        assert deeds <= set(TABLE)
        assert not deeds & {"decide", "private", "members", "hand over", "set limits"}
