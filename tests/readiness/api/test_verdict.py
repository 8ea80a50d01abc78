"""The verdict as a program asks for it: the words of the command line, judged now, and kept by nobody."""

import json
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
import time_machine
from django.core.management import call_command
from django.test import Client

from readiness.api.verdict import VerdictOutput
from readiness.models import Leg, Verdict
from tests.factories.api import a_program, problem_of
from tests.factories.readiness import stored
from tests.factories.worked_example import JUDGED_AT, worked_example

pytestmark = pytest.mark.django_db


@pytest.fixture
def leg() -> Leg:
    """The worked example, stored."""
    return stored(worked_example())


@pytest.fixture
def path(leg: Leg) -> str:
    return f"/api/v1/legs/{leg.pk}/verdict/"


@pytest.fixture
def reader(leg: Leg) -> Client:
    """A program; the clock stands at the moment of the worked example."""
    with time_machine.travel(JUDGED_AT, tick=False):
        return a_program(leg.vessel)


def asked(reader: Client, path: str, **query: str) -> Any:
    """The answer at the moment of the worked example."""
    with time_machine.travel(JUDGED_AT, tick=False):
        return reader.get(path, query)


def test_the_body_is_what_the_command_line_prints(leg: Leg, reader: Client, path: str) -> None:
    answer = asked(reader, path)

    printed = StringIO()
    with time_machine.travel(JUDGED_AT, tick=False), pytest.raises(SystemExit):
        call_command("judge", leg.key, "--json", stdout=printed)
    assert answer.status_code == 200
    assert answer["Cache-Control"] == "no-store"
    assert answer.json() == json.loads(printed.getvalue())


def test_the_body_has_exactly_the_parts_the_description_lists(reader: Client, path: str) -> None:
    body = asked(reader, path).json()

    form = VerdictOutput()
    assert list(body) == list(form.fields)
    for part in ("findings", "margins", "changes", "departures"):
        fields: Any = form.fields[part]
        assert body[part], part
        assert all(list(row) == list(fields.child.fields) for row in body[part])


def test_every_word_in_the_body_is_one_the_description_lists(reader: Client, path: str) -> None:
    body = asked(reader, path).json()

    again = VerdictOutput(data=body)
    assert again.is_valid(), again.errors


def test_another_departure_can_be_asked_for(reader: Client, path: str) -> None:
    wanted = asked(reader, path).json()["departures"][8]

    body = asked(reader, path, at=wanted["at"]).json()

    assert (body["departure"], body["verdict"], body["outlook"]) == (wanted["at"], wanted["verdict"], wanted["outlook"])


@pytest.mark.parametrize(
    ("at", "says"),
    [
        ("soon", "soon is not a time"),
        ("2027-05-15T06:30", "has no zone"),
        ("2031-05-15T06:30Z", "not among the departures judged"),
        ("2027-05-14T06:30Z", "not among the departures judged"),
    ],
)
def test_a_departure_that_is_none_is_400_and_says_why(reader: Client, path: str, at: str, says: str) -> None:
    answer = asked(reader, path, at=at)

    assert answer.status_code == 400
    assert says in problem_of(answer)["detail"]


def test_a_leg_that_cannot_be_judged_is_409_and_says_what_it_lacks(leg: Leg, reader: Client, path: str) -> None:
    leg.points.all().delete()

    answer = asked(reader, path)

    assert answer.status_code == 409
    assert "at least two points" in problem_of(answer)["detail"]


def test_asking_keeps_nothing(leg: Leg, reader: Client, path: str) -> None:
    asked(reader, path)

    assert not Verdict.objects.filter(leg=leg).exists()


def test_a_forecast_taken_away_is_never_a_better_verdict(leg: Leg, reader: Client, path: str) -> None:
    words = ["Go", "Go if", "Cannot say yet", "No-go"]
    before = asked(reader, path).json()["departures"]
    leg.vessel.forecasts.all().delete()

    after = asked(reader, path).json()["departures"]

    blocks = [min(words.index(row["verdict"]), 2) for row in before]
    assert all(min(words.index(row["verdict"]), 2) >= was for row, was in zip(after, blocks, strict=True))
    assert {row["verdict"] for row in after} <= {"Cannot say yet", "No-go"}


def test_judging_has_a_budget_of_its_own(reader: Client, path: str, monkeypatch: pytest.MonkeyPatch) -> None:
    rates = {"read": "100/min", "judge": "1/min"}
    monkeypatch.setattr("rest_framework.throttling.SimpleRateThrottle.THROTTLE_RATES", rates)

    assert asked(reader, path).status_code == 200
    assert asked(reader, path).status_code == 429
    assert asked(reader, "/api/v1/legs/").status_code == 200


def test_the_verdict_ages_with_the_clock(reader: Client, path: str) -> None:
    with time_machine.travel(JUDGED_AT + timedelta(hours=1), tick=False):
        body = reader.get(path).json()

    assert body["judged_at"] == (JUDGED_AT + timedelta(hours=1)).isoformat().replace("+00:00", "Z")
