from datetime import datetime
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from vessel.models.due_work import MOST_TRIES, DueWork

pytestmark = pytest.mark.django_db


def row(at: datetime, **changes: Any) -> DueWork:
    return DueWork(**{"key": "k", "task": "t", "due_at": at, "created_at": at, **changes})


@pytest.mark.parametrize(
    "sound",
    [
        {},
        {"state": "leased", "leased_by": "a worker", "leased_until": "AT"},
        {"state": "leased", "leased_by": "a worker", "leased_until": "AT", "asked_again": True},
        {"state": "done", "done_at": "AT"},
        {"state": "given_up", "tries": MOST_TRIES},
    ],
)
def test_a_sound_row_is_kept(at: datetime, sound: dict[str, Any]) -> None:
    row(at, **{name: at if value == "AT" else value for name, value in sound.items()}).save()

    assert DueWork.objects.count() == 1


@pytest.mark.parametrize(
    ("broken", "constraint"),
    [
        ({"state": "paused"}, "due_work_state_is_known"),
        ({"state": "leased"}, "due_work_lease_has_a_holder_and_an_end"),
        ({"state": "leased", "leased_by": "a worker"}, "due_work_lease_has_a_holder_and_an_end"),
        ({"state": "leased", "leased_until": "AT"}, "due_work_lease_has_a_holder_and_an_end"),
        ({"leased_by": "a worker", "leased_until": "AT"}, "due_work_lease_has_a_holder_and_an_end"),
        ({"state": "done"}, "due_work_done_has_a_time"),
        ({"tries": MOST_TRIES + 1}, "due_work_tries_end"),
        ({"asked_again": True}, "due_work_asked_again_only_while_being_done"),
    ],
)
def test_the_database_refuses_a_broken_row(at: datetime, broken: dict[str, Any], constraint: str) -> None:
    unsound = row(at, **{name: at if value == "AT" else value for name, value in broken.items()})

    with pytest.raises(IntegrityError, match=constraint), transaction.atomic():
        unsound.save()


def test_one_key_has_one_row(at: datetime) -> None:
    row(at).save()

    with pytest.raises(IntegrityError, match="key"), transaction.atomic():
        row(at).save()
