"""One sound row of every noun of the work; say what differs."""

from collections.abc import Callable
from itertools import count
from typing import Any

from django.db.models import Model

from maintenance import models
from tests.factories.vessel import AT, BY, a_vessel, an_item
from vessel.models import Vessel

NEXT = count(1001)  # away from the numbers tests give


def a_defect(vessel: Vessel | None = None, **fields: Any) -> models.Defect:
    given = {"number": next(NEXT), "title": "Oil cooler weeps", "opened_at": AT, "opened_by": BY, **fields}
    return models.Defect.objects.create(vessel=vessel or a_vessel(), **given)


def a_job(vessel: Vessel | None = None, **fields: Any) -> models.Job:
    given = {"number": next(NEXT), "title": "Renew the end seals", **fields}
    return models.Job.objects.create(vessel=vessel or a_vessel(), **given)


def a_service(vessel: Vessel | None = None, **fields: Any) -> models.ServiceItem:
    aboard = vessel or a_vessel()
    given = {"code": f"SI-{next(NEXT):04}", "item": "Engine oil", "equipment": an_item(aboard), **fields}
    return models.ServiceItem.objects.create(vessel=aboard, **given)


def a_spare(vessel: Vessel | None = None, **fields: Any) -> models.Spare:
    return models.Spare.objects.create(vessel=vessel or a_vessel(), **{"part": "Impeller", **fields})


def _need(**fields: Any) -> models.JobNeed:
    job = a_job()
    return models.JobNeed.objects.create(**{"job": job, "needs": a_job(job.vessel), **fields})


SOUND: dict[type[Model], Callable[..., Any]] = {
    models.Defect: a_defect,
    models.Job: a_job,
    models.JobNeed: _need,
    models.JobPart: lambda **fields: models.JobPart.objects.create(**{"job": a_job(), "part": "Seal set", **fields}),
    models.ServiceItem: a_service,
    models.ServiceDone: lambda **fields: models.ServiceDone.objects.create(
        **{"service_item": a_service(), "on": AT.date(), "by": BY, "entered_at": AT, **fields}
    ),
    models.Spare: a_spare,
}
