"""A job from idea to proved: every step that may be taken, and every one that may not."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

from maintenance.actions import job as deeds
from maintenance.models import Job, JobNeed, JobStatus
from tests.factories.maintenance import a_job
from tests.factories.vessel import a_vessel, an_item
from vessel.errors import BadInput, Refused, StaleVersion
from vessel.models import Proof
from vessel.queries.history import chain, history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


def in_state(status: str, at: datetime) -> Job:
    fields: dict[str, Any] = {"status": status}
    if status in {"done but not tested", "proved"}:
        fields |= {"done_at": at, "done_by": BY}
    if status not in {"idea", "planned", "ready", "dropped"}:
        fields |= {"started_at": at}
    if status == "proved":
        fields |= {"proved_at": at}
    return a_job(**fields)


DEEDS: dict[str, tuple[Callable[..., Any], dict[str, Any]]] = {
    "planned": (deeds.plan_job, {"status": "planned"}),
    "ready": (deeds.plan_job, {"status": "ready"}),
    "parts waiting": (deeds.wait_for_parts, {}),
    "in hand": (deeds.start_job, {}),
    "done but not tested": (deeds.finish_job, {}),
    "proved": (deeds.prove_job, {"proof": "Ran an hour."}),
    "dropped": (deeds.drop_job, {"reason": "Not worth it."}),
}
# From each state (begun work waiting for parts included) the steps that may be taken.
STEPS = {
    "idea": {"planned", "ready", "parts waiting", "in hand", "done but not tested", "dropped"},
    "planned": {"planned", "ready", "parts waiting", "in hand", "done but not tested", "dropped"},
    "ready": {"planned", "ready", "parts waiting", "in hand", "done but not tested", "dropped"},
    "parts waiting": {"planned", "parts waiting", "in hand", "done but not tested"},
    "in hand": {"parts waiting", "done but not tested"},
    "done but not tested": {"in hand", "proved"},
    "proved": set(),
    "dropped": set(),
}


def test_the_table_of_steps_is_complete() -> None:
    assert set(STEPS) == set(JobStatus.values)
    assert set(DEEDS) == set(JobStatus.values) - {"idea"}


@pytest.mark.parametrize("to", DEEDS)
@pytest.mark.parametrize("start", STEPS)
def test_each_step_is_taken_or_refused_as_the_table_says(at: datetime, start: str, to: str) -> None:
    job = in_state(start, at)
    deed, fields = DEEDS[to]
    may = to in STEPS[start]

    refusal = ""
    try:
        deed(job_id=job.pk, seen_version=1, by=BY, at=at, **fields)
    except Refused as reason:
        refusal = str(reason)

    job.refresh_from_db()
    assert job.status == (to if may else start)
    assert bool(refusal) is not may
    assert len(history_page(job.vessel_id)) == int(may)


def test_a_refusal_says_where_the_job_stands(at: datetime) -> None:
    job = a_job(number=4, status="in hand", started_at=at)

    with pytest.raises(Refused, match=r"JOB-4 is in hand, so it cannot become dropped\. Nothing was changed\."):
        deeds.drop_job(job_id=job.pk, seen_version=1, reason="x", by=BY, at=at)
    with pytest.raises(StaleVersion):
        deeds.finish_job(job_id=job.pk, seen_version=5, by=BY, at=at)


def test_a_job_is_written_down_with_its_items_and_its_price_stays_private(at: datetime) -> None:
    vessel = a_vessel()
    item = an_item(vessel, code="ST-06")
    first = deeds.add_job(vessel=vessel, title="Order parts", by=BY, at=at)

    job = deeds.add_job(vessel=vessel, title="Autopilot pump", by=BY, at=at, takes_out=[item], needs=[first],
                        opens=["wiring"], cost=812, currency="EUR")  # fmt: skip

    assert (first.code, job.code) == ("JOB-1", "JOB-2")
    assert [item.code for item in job.takes_out.all()] == ["ST-06"]
    assert JobNeed.objects.get().needs == first
    assert "812" not in str(list(chain(vessel.pk)))
    assert "812" in history_page(vessel.pk)[0].private
    assert history_page(vessel.pk)[0].changes["takes_out"] == [None, ["ST-06"]]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"title": ""}, "Title: This field cannot be blank"),
        ({"title": "x", "status": "in hand"}, "A new job is not begun yet"),
        ({"title": "x", "opens": ["drawer"]}, "“drawer” is not a thing a job can leave open"),
        ({"title": "x", "hours_low": 3.0, "hours_likely": 2.0, "hours_high": 4.0}, "The hours of a job must rise"),
    ],
)
def test_what_is_no_job_is_refused(at: datetime, fields: dict[str, Any], sentence: str) -> None:
    vessel = a_vessel()

    with pytest.raises(BadInput, match=sentence):
        deeds.add_job(vessel=vessel, by=BY, at=at, **fields)

    assert not Job.objects.exists()
    assert not history_page(vessel.pk)


def test_items_and_needs_of_another_vessel_are_refused(at: datetime) -> None:
    vessel, foreign = a_vessel(), a_job()

    with pytest.raises(BadInput, match="belongs to another vessel"):
        deeds.add_job(vessel=vessel, title="x", by=BY, at=at, takes_out=[an_item()])
    with pytest.raises(BadInput, match="belongs to another vessel"):
        deeds.add_job(vessel=vessel, title="x", by=BY, at=at, needs=[foreign])

    assert not Job.objects.filter(vessel=vessel).exists()


def test_jobs_cannot_wait_for_each_other(at: datetime) -> None:
    first = a_job()
    second, third = a_job(first.vessel), a_job(first.vessel)
    deeds.add_need(job=second, needs=first, by=BY, at=at)
    deeds.add_need(job=third, needs=second, by=BY, at=at)

    with pytest.raises(BadInput, match="would wait for each other"):
        deeds.add_need(job=first, needs=third, by=BY, at=at)
    with pytest.raises(BadInput, match="would wait for each other"):
        deeds.add_need(job=first, needs=first, by=BY, at=at)

    assert JobNeed.objects.count() == 2


def test_changes_are_told_and_steps_cannot_be_typed_over(at: datetime) -> None:
    job = a_job(number=4)
    item = an_item(job.vessel, code="HU-10")

    deeds.change_job(job_id=job.pk, seen_version=1, by=BY, at=at, takes_out=[item], note="Bed in sealant")

    told = [line.what for line in history_page(job.vessel_id)]
    assert told == [
        "JOB-4 now takes out of service: HU-10.", "Job JOB-4 Renew the end seals changed: note."]  # fmt: skip
    with pytest.raises(BadInput, match="status cannot be typed over"):
        deeds.change_job(job_id=job.pk, seen_version=2, by=BY, at=at, status="proved")
    with pytest.raises(BadInput, match="“drawer”"):
        deeds.change_job(job_id=job.pk, seen_version=2, by=BY, at=at, opens=["drawer"])


def test_a_finished_job_has_closed_up_and_a_job_started_again_is_undone(at: datetime) -> None:
    job = a_job(status="in hand", started_at=at, opens=["hull"])

    deeds.finish_job(job_id=job.pk, seen_version=1, by=BY, at=at)
    job.refresh_from_db()
    assert (job.opens, job.done_at, job.done_by) == ([], at, BY)

    deeds.start_job(job_id=job.pk, seen_version=2, by=BY, at=at)
    job.refresh_from_db()
    assert (job.status, job.done_at, job.done_by) == ("in hand", None, None)


def test_a_proved_job_proves_what_it_took_out_and_worked_on(at: datetime) -> None:
    job = in_state("done but not tested", at)
    out, worked = an_item(job.vessel, code="ST-06"), an_item(job.vessel, code="ST-07")
    untouched = an_item(job.vessel)
    job.takes_out.add(out)
    job.works_on.add(out, worked)

    deeds.prove_job(job_id=job.pk, seen_version=1, proof="An hour at sea.", by=BY, at=at)

    assert [proof.equipment for proof in Proof.objects.order_by("equipment__code")] == [out, worked]
    assert not untouched.proofs.exists()
    assert Proof.objects.first().text == f"{job.code}: An hour at sea."  # type: ignore[union-attr]


@pytest.mark.parametrize("deed", ["prove_job", "drop_job"])
def test_proving_and_dropping_want_words(at: datetime, deed: str) -> None:
    job = in_state("done but not tested" if deed == "prove_job" else "idea", at)
    field = "proof" if deed == "prove_job" else "reason"

    with pytest.raises(BadInput, match="Say"):
        getattr(deeds, deed)(job_id=job.pk, seen_version=1, by=BY, at=at, **{field: " "})

    assert not history_page(job.vessel_id)


def test_put_back_is_done_but_not_tested(at: datetime) -> None:
    job = in_state("in hand", at)

    deeds.put_back(job_id=job.pk, seen_version=1, by=BY, at=at)

    job.refresh_from_db()
    assert job.status == "done but not tested"
    assert "test it before she leans on it" in history_page(job.vessel_id)[0].what
    with pytest.raises(Refused, match="there is nothing to put back"):
        deeds.put_back(job_id=job.pk, seen_version=2, by=BY, at=at)
