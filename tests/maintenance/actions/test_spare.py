"""Stock counted, taken out and put in."""

from datetime import datetime

import pytest

from maintenance.actions.spare import count_spare, use_spare
from maintenance.models import Spare
from tests.factories.maintenance import a_spare
from vessel.errors import BadInput, Refused, StaleVersion
from vessel.queries.history import history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


def test_a_count_is_dated_and_told(at: datetime) -> None:
    spare = a_spare(quantity=4.0)

    count_spare(spare_id=spare.pk, seen_version=1, quantity=0, by=BY, at=at)

    spare.refresh_from_db()
    assert (spare.quantity, spare.counted_at) == (0, at)
    assert history_page(spare.vessel_id)[0].changes["quantity"] == [4.0, 0]
    with pytest.raises(StaleVersion):
        count_spare(spare_id=spare.pk, seen_version=1, quantity=2, by=BY, at=at)


@pytest.mark.parametrize("quantity", [-0.1, float("nan"), float("inf")])
def test_what_is_no_count_is_refused(at: datetime, quantity: float) -> None:
    spare = a_spare(quantity=4.0)

    with pytest.raises(BadInput, match="A count is nought or more"):
        count_spare(spare_id=spare.pk, seen_version=1, quantity=quantity, by=BY, at=at)

    assert Spare.objects.get().quantity == 4.0


@pytest.mark.parametrize(("used", "left"), [(1.5, 2.5), (4.0, 0.0), (-2.0, 6.0)])
def test_some_is_taken_out_or_put_in(at: datetime, used: float, left: float) -> None:
    spare = a_spare(quantity=4.0)

    use_spare(spare_id=spare.pk, quantity=used, by=BY, at=at)

    assert Spare.objects.get().quantity == left


@pytest.mark.parametrize(
    ("there", "sentence"), [(4.0, "Only 4 l of Impeller is there"), (None, "Nobody has counted Impeller")]
)
def test_more_than_is_there_cannot_be_used(at: datetime, there: float | None, sentence: str) -> None:
    spare = a_spare(quantity=there, unit="l")

    with pytest.raises(Refused, match=sentence):
        use_spare(spare_id=spare.pk, quantity=4.1, by=BY, at=at)

    assert Spare.objects.get().quantity == there
    assert not history_page(spare.vessel_id)
