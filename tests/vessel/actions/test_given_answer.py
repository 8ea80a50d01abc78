"""One key, one deed, one answer; and nothing kept of a deed that was refused."""

from datetime import timedelta
from typing import Any

import pytest

from tests.factories.api import aboard
from tests.factories.vessel import AT, a_vessel
from vessel.actions.given_answer import KeyUsedOtherwise, answer_once
from vessel.errors import BadInput, Refused
from vessel.models import GivenAnswer, Membership

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner() -> Membership:
    return aboard(a_vessel())


class Deed:
    """Counts how often it was done."""

    def __init__(self) -> None:
        self.done = 0

    def __call__(self) -> dict[str, int]:
        self.done += 1
        return {"id": self.done}


def once(owner: Membership, deed: Any, later_s: float = 0, **more: Any) -> tuple[Any, bool]:
    """The answer under the key k1, so much later."""
    given = {"key": "k1", "request": ("POST", "/defects/", {"title": "x"}), **more}
    return answer_once(membership=owner, at=AT + timedelta(seconds=later_s), deed=deed, **given)


def test_the_second_time_the_first_answer_is_given_and_nothing_done(owner: Membership) -> None:
    deed = Deed()

    assert once(owner, deed) == ({"id": 1}, True)
    assert once(owner, deed, later_s=24 * 3600 - 1) == ({"id": 1}, False)
    assert deed.done == 1


def test_after_a_day_the_key_is_free_again(owner: Membership) -> None:
    deed = Deed()
    once(owner, deed)

    assert once(owner, deed, later_s=24 * 3600) == ({"id": 2}, True)
    assert GivenAnswer.objects.count() == 1


@pytest.mark.parametrize(
    "request_",
    [
        ("PUT", "/defects/", {"title": "x"}),
        ("POST", "/legs/", {"title": "x"}),
        ("POST", "/defects/", {"title": "y"}),
        ("POST", "/defects/", {"title": "x", "effect": None}),
    ],
)
def test_another_method_address_or_body_under_the_key_is_refused(owner: Membership, request_: Any) -> None:
    deed = Deed()
    once(owner, deed)

    with pytest.raises(KeyUsedOtherwise, match="The first request stands"):
        once(owner, deed, request=request_)

    assert deed.done == 1


def test_the_same_body_in_another_order_is_the_same_request(owner: Membership) -> None:
    deed = Deed()
    once(owner, deed, request=("POST", "/", {"a": 1, "b": 2}))

    assert once(owner, deed, request=("POST", "/", {"b": 2, "a": 1})) == ({"id": 1}, False)


def test_a_deed_that_is_refused_leaves_the_key_free(owner: Membership) -> None:
    def refuse() -> None:
        raise Refused("No.")

    with pytest.raises(Refused, match="No"):
        once(owner, refuse)

    assert once(owner, Deed()) == ({"id": 1}, True)


def test_somebody_elses_key_is_not_mine(owner: Membership) -> None:
    once(owner, Deed())

    assert once(aboard(owner.vessel), Deed()) == ({"id": 1}, True)


@pytest.mark.parametrize("key", ["", "x" * 201, "é", "a\nb"])
def test_a_key_that_is_none_is_refused(owner: Membership, key: str) -> None:
    with pytest.raises(BadInput, match="Nothing was done"):
        once(owner, Deed(), key=key)


def test_a_key_of_two_hundred_letters_is_a_key(owner: Membership) -> None:
    assert once(owner, Deed(), key="x" * 200) == ({"id": 1}, True)
