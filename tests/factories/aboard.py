"""People aboard, signed in."""

from django.contrib.auth.models import User
from django.test import Client

from tests.factories.vessel import a_vessel, an_account
from vessel.models import Membership, Role, Vessel


def aboard(vessel: Vessel | None = None, role: str = Role.OWNER) -> Membership:
    """An account with a role aboard a vessel."""
    user: User = an_account()
    return Membership.objects.create(user=user, vessel=vessel or a_vessel(), role=role)


def signed_in(member: Membership) -> Client:
    """A browser of somebody aboard."""
    client = Client()
    client.force_login(member.user)
    return client
