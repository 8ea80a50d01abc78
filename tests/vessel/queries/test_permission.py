import pytest
from django.contrib.auth.models import AnonymousUser, User
from pytest_django import DjangoAssertNumQueries

from vessel.models import Membership, Role, Vessel
from vessel.queries.permission import TABLE, may, membership_of

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("deed", TABLE)
def test_the_owner_may_do_everything(deed: str) -> None:
    assert may(Role.OWNER, deed)


@pytest.mark.parametrize(
    ("role", "deeds"),
    [
        (Role.SKIPPER, {"read", "report", "work", "mend critical", "people", "own stay", "plan", "follow", "decide",
                        "private", "change vessel"}),
        (Role.CREW, {"read", "report", "work", "people", "own stay", "follow"}),
        (Role.VIEWER, {"read"}),
        ("stowaway", set()),
    ],
)  # fmt: skip
def test_what_the_others_may_do(role: str, deeds: set[str]) -> None:
    assert {deed for deed in TABLE if may(role, deed)} == deeds


def test_a_deed_nobody_named_may_be_done_by_nobody() -> None:
    assert not may(Role.OWNER, "scuttle")


def test_a_membership_is_found_with_its_vessel_in_one_query(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    user = User.objects.create(username="ines")
    first, second = Vessel.objects.create(name="Tallow Wren"), Vessel.objects.create(name="Second")
    for vessel in (first, second):
        Membership.objects.create(user=user, vessel=vessel, role=Role.OWNER)

    with django_assert_num_queries(1):
        oldest = membership_of(user)
        assert oldest is not None
        assert oldest.vessel == first
    newer = membership_of(user, second.pk)
    assert newer is not None
    assert newer.vessel == second
    assert membership_of(user, 999) is None
    assert membership_of(User.objects.create(username="stranger"), first.pk) is None
    assert membership_of(AnonymousUser()) is None
