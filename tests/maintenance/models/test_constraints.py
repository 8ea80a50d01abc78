"""Every constraint of the work: kept by a sound row and at its limit, broken past it."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.db.models import CheckConstraint, Model, UniqueConstraint

from maintenance import models
from readiness.rules import words_of_trade
from tests.factories.broken_rows import breaking, checks_of, uniques_of
from tests.factories.maintenance import SOUND, a_job
from tests.factories.vessel import AT, BY

pytestmark = pytest.mark.django_db

ALL_CHECKS = checks_of("maintenance", SOUND)
AGAINST_ITSELF = "job_need_is_another_job"  # has a test of its own below
CHECKS = [(kind, constraint) for kind, constraint in ALL_CHECKS if constraint.name != AGAINST_ITSELF]
CLOSED = {"closed_at": AT, "closed_by": BY, "how_mended": "New seals."}
HOURS = {"hours_low": 1.0, "hours_likely": 2.0, "hours_high": 3.0}
BROKEN: dict[str, list[dict[str, Any]]] = {
    "defect_closed_at_and_closed_by_pair": [{**CLOSED, "closed_by": None}],
    "defect_closed_at_and_how_mended_pair": [{**CLOSED, "how_mended": None}, {"how_mended": "New seals."}],
    "defect_date_to_mend_by_goes_with_the_choice": [
        {"mend_by": "date"}, {"mend_by_on": AT.date()}, {"mend_by": "now", "mend_by_on": AT.date()}],
    "defect_closed_after_it_was_opened": [{**CLOSED, "closed_at": AT - timedelta(seconds=1)}],
    "job_hours_are_in_order": [{**HOURS, "hours_low": 2.1}, {**HOURS, "hours_high": 1.9}],
    "job_done_at_and_done_by_pair": [{"done_at": AT}, {"done_by": BY}],
    "job_done_carries_its_time": [{"status": "done but not tested"}, {"status": "proved", "proved_at": AT}],
    "job_proved_carries_its_time": [
        {"status": "proved", "done_at": AT, "done_by": BY}, {"status": "in hand", "proved_at": AT}],
    "job_cost_names_its_currency": [{"cost": 10}],
    "service_item_tolerance_pct_is_within_bounds": [{"tolerance_pct": -1}, {"tolerance_pct": 101}],
    "service_done_says_when": [{"on": None}],
}  # fmt: skip
AT_THE_LIMIT: list[tuple[type[Model], dict[str, Any]]] = [
    (models.Defect, CLOSED),
    (models.Defect, {"mend_by": "date", "mend_by_on": AT.date()}),
    (models.Defect, {"effect": None, "equipment": None}),
    (models.Job, {"hours_low": 2.0, "hours_likely": 2.0, "hours_high": 2.0, "wait_after_h": 0}),
    (models.Job, {"status": "proved", "done_at": AT, "done_by": BY, "proved_at": AT}),
    (models.Job, {"cost": 0, "currency": "EUR"}),
    (models.ServiceItem, {"tolerance_pct": 0.0, "every_hours": None, "every_months": None}),
    (models.ServiceItem, {"tolerance_pct": 100.0}),
    (models.ServiceDone, {"on": None, "engine_hours": 0.0}),
    (models.Spare, {"quantity": 0.0}),
    (models.Spare, {"quantity": None}),
]


def test_every_check_is_broken_somewhere() -> None:
    left_out = [c.name for kind, c in ALL_CHECKS if breaking(kind, c.name) is None and c.name not in BROKEN]

    assert left_out == [AGAINST_ITSELF]
    assert set(BROKEN) <= {constraint.name for _, constraint in CHECKS}


@pytest.mark.parametrize("kind", SOUND, ids=lambda kind: kind.__name__)
def test_a_sound_row_is_kept(kind: type[Model]) -> None:
    row = SOUND[kind]()

    assert kind._default_manager.filter(pk=row.pk).count() == 1
    assert str(row)


@pytest.mark.parametrize(("kind", "values"), AT_THE_LIMIT)
def test_a_row_exactly_at_the_limit_is_kept(kind: type[Model], values: dict[str, Any]) -> None:
    row = SOUND[kind](**values)

    assert kind._default_manager.filter(pk=row.pk, **{k: v for k, v in values.items() if v is not None}).exists()


@pytest.mark.parametrize(("kind", "constraint"), CHECKS, ids=[constraint.name for _, constraint in CHECKS])
def test_a_row_that_breaks_a_check_is_refused_by_the_database(kind: type[Model], constraint: CheckConstraint) -> None:
    for values in BROKEN.get(constraint.name) or [breaking(kind, constraint.name) or {}]:
        with pytest.raises(IntegrityError, match=constraint.name), transaction.atomic():
            SOUND[kind](**values)


@pytest.mark.parametrize(
    ("kind", "constraint"), uniques_of(SOUND), ids=[constraint.name for _, constraint in uniques_of(SOUND)]
)
def test_a_twin_is_refused_by_the_database(kind: type[Model], constraint: UniqueConstraint) -> None:
    row = SOUND[kind]()

    with pytest.raises(IntegrityError), transaction.atomic():
        SOUND[kind](**{name: getattr(row, name) for name in constraint.fields})


def test_a_job_cannot_wait_for_itself() -> None:
    job = a_job()

    with pytest.raises(IntegrityError, match=AGAINST_ITSELF), transaction.atomic():
        models.JobNeed.objects.create(job=job, needs=job)


@pytest.mark.parametrize(
    ("database", "facts"),
    [
        (models.Effect, words_of_trade.Effect),
        (models.JobStatus, words_of_trade.JobStatus),
        (models.Opens, words_of_trade.Opens),
    ],
)
def test_the_words_of_the_database_are_those_of_the_facts(database: Any, facts: Any) -> None:
    assert set(database.values) == set(facts)
