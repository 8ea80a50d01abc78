"""A program with a token, and somebody signed in on the pages, as clients of the API."""

from datetime import UTC, datetime, timedelta
from typing import Any

from django.core.cache import cache
from django.test import Client

from tests.factories.vessel import an_account
from vessel.actions.token import make_token
from vessel.models import ApiToken, Membership, Vessel

PROBLEM = "application/problem+json"


def aboard(vessel: Vessel, role: str = "owner") -> Membership:
    """A membership of somebody new."""
    return Membership.objects.create(user=an_account(), vessel=vessel, role=role)


def a_token(membership: Membership, scope: str = "read", **more: Any) -> tuple[ApiToken, str]:
    """A token made yesterday."""
    given = {"name": "Logger", "by": "owner-0a1b2c", "at": datetime.now(UTC) - timedelta(days=1), **more}
    return make_token(membership=membership, scope=scope, **given)


def with_secret(secret: str) -> Client:
    """A program that sends this token; whatever was asked before does not count against it."""
    cache.clear()
    return Client(headers={"Authorization": f"Bearer {secret}"})


def a_program(vessel: Vessel, scope: str = "read", role: str = "owner") -> Client:
    """A program with a token of its own for somebody of this role."""
    return with_secret(a_token(aboard(vessel, role), scope)[1])


def signed_in(membership: Membership) -> Client:
    """Somebody signed in on the pages."""
    cache.clear()
    client = Client(enforce_csrf_checks=True)
    client.force_login(membership.user)
    return client


def problem_of(answer: Any) -> dict[str, Any]:
    """The body of a refusal, which must be problem details with every part a person needs."""
    assert answer["Content-Type"] == PROBLEM
    body: dict[str, Any] = answer.json()
    assert body["status"] == answer.status_code
    assert {"type", "title", "detail", "kept", "to_do", "instance"} <= body.keys()
    assert all(body[part] for part in ("title", "detail", "kept", "to_do"))
    return body
