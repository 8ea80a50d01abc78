"""Each thing that can go wrong has its status, and says what happened, what was kept and what to do."""

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, InterfaceError, OperationalError
from django.http import Http404
from rest_framework import exceptions

from config.api_errors import MEDIA_TYPE, WORDS, answer_problem
from vessel.actions.given_answer import KeyUsedOtherwise
from vessel.actions.version import ChangedMeanwhile
from vessel.api.json_parser import TooLarge
from vessel.errors import BadInput, Refused

CASES: list[tuple[Exception, int]] = [
    (exceptions.ValidationError({"title": ["This field is required."]}), 400),
    (exceptions.ParseError("The request is not JSON."), 400),
    (BadInput("Line 3 has no time."), 400),
    (exceptions.NotAuthenticated(), 401),
    (exceptions.AuthenticationFailed("No."), 401),
    (PermissionDenied("No vessel is shared with you."), 403),
    (exceptions.PermissionDenied("As viewer you may not."), 403),
    (Http404("No Leg matches."), 404),
    (exceptions.NotFound("Not here."), 404),
    (exceptions.MethodNotAllowed("PUT"), 405),
    (exceptions.NotAcceptable(), 406),
    (Refused("DEF-1 stays open."), 409),
    (ChangedMeanwhile("Theirs is kept.", {}, {}), 412),
    (TooLarge(), 413),
    (exceptions.UnsupportedMediaType("text/plain"), 415),
    (KeyUsedOtherwise("The first stands."), 422),
    (exceptions.Throttled(wait=12.4), 429),
    (RuntimeError("inside"), 500),
    (IntegrityError("inside"), 500),
    (OperationalError("inside"), 503),
    (InterfaceError("inside"), 503),
]


@pytest.mark.django_db
@pytest.mark.parametrize(("error", "status"), CASES, ids=[type(error).__name__ for error, _ in CASES])
def test_each_error_has_its_status_and_its_words(error: Exception, status: int) -> None:
    answer = answer_problem(error, {})

    assert (answer.status_code, answer.content_type) == (status, MEDIA_TYPE)
    assert answer.data["status"] == status
    assert all(answer.data[part].endswith((".", ")", "...")) for part in ("detail", "kept", "to_do"))
    assert "inside" not in str(answer.data)


def test_every_status_has_words_and_every_word_a_case() -> None:
    assert {status for _, status in CASES} == set(WORDS)


@pytest.mark.django_db
def test_what_is_wrong_inside_is_named_with_dots() -> None:
    error = exceptions.ValidationError({"points": [{"lat_deg": ["must be a number"]}, {}], "non_field_errors": ["No."]})

    data = answer_problem(error, {}).data

    assert data["errors"] == [
        {"field": "points.lat_deg", "says": "must be a number"},
        {"field": "", "says": "No."},
    ]
    assert data["detail"] == "points.lat_deg: must be a number. No."


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("error", "seconds"),
    [(exceptions.Throttled(wait=12.4), "13"), (exceptions.Throttled(wait=0.1), "1"), (OperationalError(), "5")],
)
def test_whoever_must_wait_is_told_how_long(error: Exception, seconds: str) -> None:
    assert answer_problem(error, {})["Retry-After"] == seconds
