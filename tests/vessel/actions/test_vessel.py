"""A vessel taken into the books, and her particulars changed."""

from datetime import datetime

import pytest

from tests.factories.vessel import an_account
from vessel.actions.vessel import change_vessel, register_vessel
from vessel.errors import BadInput, StaleVersion
from vessel.models import Membership, Vessel
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db


def test_a_vessel_begins_with_an_owner_and_a_history(at: datetime) -> None:
    owner = an_account()

    vessel = register_vessel(owner=owner, at=at, name="Tallow Wren", builders_number="117", loa_m=12.2)

    assert Membership.objects.get().role == "owner"
    line = history_page(vessel.pk)[0]
    assert line.what == "The history of Tallow Wren, builder's number 117 begins."
    assert line.changes["loa_m"] == [None, 12.2]


def test_a_vessel_without_a_name_is_not_taken_in(at: datetime) -> None:
    with pytest.raises(BadInput, match="Name: This field cannot be blank"):
        register_vessel(owner=an_account(), at=at, name="")

    assert not Vessel.objects.exists()
    assert not Membership.objects.exists()


def test_particulars_change_once_for_each_version_seen(at: datetime) -> None:
    vessel = register_vessel(owner=an_account(), at=at, name="Tallow Wren")

    change_vessel(vessel_id=vessel.pk, seen_version=1, by="owner-1", at=at, draught_m=1.25)

    with pytest.raises(StaleVersion):
        change_vessel(vessel_id=vessel.pk, seen_version=1, by="owner-1", at=at, draught_m=1.30)
    assert Vessel.objects.get().draught_m == 1.25
