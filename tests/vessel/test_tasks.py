from datetime import datetime, timedelta

import pytest
import time_machine
from django.contrib.sessions.models import Session

from vessel.models.due_work import DueWork
from vessel.tasks import tidy_up

pytestmark = pytest.mark.django_db


def test_tidying_up_twice_is_as_tidying_up_once(at: datetime) -> None:
    long_ago = at - timedelta(days=30)
    DueWork.objects.create(key="k", task="t", state="done", due_at=long_ago, created_at=long_ago, done_at=long_ago)
    Session.objects.create(session_key="old", session_data="", expire_date=long_ago)
    Session.objects.create(session_key="new", session_data="", expire_date=at + timedelta(days=1))

    with time_machine.travel(at, tick=False):
        tidy_up()
        tidy_up()

    assert not DueWork.objects.exists()
    assert list(Session.objects.values_list("session_key", flat=True)) == ["new"]
