"""A defect from its report to its mending, and back."""

import io
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from django.test import override_settings
from PIL import Image

from maintenance.actions.defect import add_photo, change_defect, check_defect, mend_defect, reopen_defect, report_defect
from maintenance.models import Defect
from tests.factories.maintenance import a_defect, a_job
from tests.factories.vessel import a_vessel, an_item
from vessel.errors import BadInput, Refused, StaleVersion
from vessel.models import Attachment, Proof
from vessel.queries.attachment import file_of
from vessel.queries.history import chain_problem, history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


def a_photo() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(out, "JPEG")
    return out.getvalue()


def test_defects_are_numbered_aboard_each_vessel(at: datetime) -> None:
    vessel, other = a_vessel(), a_vessel()

    codes = [report_defect(vessel=boat, title="Weep", by=BY, at=at).code for boat in (vessel, vessel, other)]

    assert codes == ["DEF-1", "DEF-2", "DEF-1"]


def test_a_report_with_a_photo_is_stored_and_told(at: datetime, tmp_path: Path) -> None:
    item = an_item(code="NV-05", name="Echo sounder")

    with override_settings(MEDIA_ROOT=tmp_path):
        defect = report_defect(vessel=item.vessel, title=" Drops out ", by=BY, at=at, equipment=item, effect="degrades",
                               limit_text="works below 1,900 rpm.", photo=a_photo())  # fmt: skip
        stored = file_of(Attachment.objects.get()).exists()

    line = history_page(item.vessel_id)[0]
    assert stored
    assert defect.photos.count() == 1
    assert line.what == "DEF-1 Drops out reported: degrades NV-05, works below 1,900 rpm."
    assert line.changes["photo"] == [None, Attachment.objects.get().sha256]
    assert (defect.opened_at, defect.opened_by, line.noun_key) == (at, BY, "DEF-1")


def test_an_effect_nobody_has_stated_stays_not_known(at: datetime) -> None:
    defect = report_defect(vessel=a_vessel(), title="A smell", by=BY, at=at)

    defect.refresh_from_db()
    assert (defect.effect, defect.equipment) == (None, None)
    assert history_page(defect.vessel_id)[0].what == "DEF-1 A smell reported: its effect is not known."


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"title": " "}, "Title: This field cannot be blank"),
        ({"title": "x", "effect": "annoys"}, "Effect: Value 'annoys' is not a valid choice"),
        ({"title": "x", "mend_by": "date"}, "The choice “a date” and the date to mend by go together"),
        ({"title": "x", "photo": b"<svg/>"}, "This file is not a photo"),
    ],
)
def test_a_report_that_cannot_be_kept_is_refused_whole(at: datetime, fields: dict[str, object], sentence: str) -> None:
    vessel = a_vessel()

    with pytest.raises(BadInput, match=sentence):
        report_defect(vessel=vessel, by=BY, at=at, **fields)  # type: ignore[arg-type]

    assert not Defect.objects.exists()
    assert not Attachment.objects.exists()
    assert not history_page(vessel.pk)


def test_equipment_of_another_vessel_is_refused(at: datetime) -> None:
    with pytest.raises(BadInput, match="belongs to another vessel"):
        report_defect(vessel=a_vessel(), title="x", by=BY, at=at, equipment=an_item())

    assert not Defect.objects.exists()


def test_a_change_is_told_and_closing_by_hand_is_refused(at: datetime) -> None:
    defect = a_defect()

    change_defect(defect_id=defect.pk, seen_version=1, by=BY, at=at, effect="disables")

    assert history_page(defect.vessel_id)[0].changes == {"effect": [None, "disables"]}
    for column in ("closed_at", "how_mended", "number"):
        with pytest.raises(BadInput, match="cannot be typed over"):
            change_defect(defect_id=defect.pk, seen_version=2, by=BY, at=at, **{column: None})
    with pytest.raises(StaleVersion):
        change_defect(defect_id=defect.pk, seen_version=1, by=BY, at=at, effect="none")
    assert Defect.objects.get().effect == "disables"


def test_mending_closes_it_and_proves_its_item(at: datetime) -> None:
    item = an_item(code="EN-09", name="Oil system")
    defect = a_defect(item.vessel, number=1, equipment=item, effect="degrades")

    mend_defect(defect_id=defect.pk, seen_version=1, proof="New seals, dry after 1 h.", by=BY, at=at)

    defect.refresh_from_db()
    assert (defect.closed_at, defect.closed_by, defect.how_mended) == (at, BY, "New seals, dry after 1 h.")
    assert Proof.objects.get().text == "DEF-1 mended: New seals, dry after 1 h."
    assert [line.what for line in history_page(item.vessel_id)] == [
        "EN-09 Oil system proved: DEF-1 mended: New seals, dry after 1 h.",
        "DEF-1 Oil cooler weeps mended: New seals, dry after 1 h.",
    ]


@pytest.mark.parametrize(("effect", "proofs"), [("none", 0), (None, 1), ("disables", 1)])
def test_only_a_defect_without_effect_leaves_its_item_unproved(at: datetime, effect: str | None, proofs: int) -> None:
    item = an_item()
    defect = a_defect(item.vessel, equipment=item, effect=effect)

    mend_defect(defect_id=defect.pk, seen_version=1, proof="Mended.", by=BY, at=at)

    assert Proof.objects.count() == proofs


@pytest.mark.parametrize("status", ["idea", "in hand", "done but not tested"])
def test_a_defect_with_an_unproved_job_stays_open(at: datetime, status: str) -> None:
    defect = a_defect(number=3)
    done = {"done_at": at, "done_by": BY} if status.startswith("done") else {}
    a_job(defect.vessel, number=9, defect=defect, status=status, **done)

    with pytest.raises(Refused, match=r"DEF-3 stays open: JOB-9 is not proved yet\. Prove or drop it first\."):
        mend_defect(defect_id=defect.pk, seen_version=1, proof="Mended.", by=BY, at=at)

    assert Defect.objects.get().closed_at is None


def test_mending_without_words_or_twice_is_refused(at: datetime) -> None:
    defect = a_defect(opened_at=at, number=3)

    with pytest.raises(BadInput, match="Say how DEF-3 was mended"):
        mend_defect(defect_id=defect.pk, seen_version=1, proof=" ", by=BY, at=at)
    mend_defect(defect_id=defect.pk, seen_version=1, proof="Mended.", by=BY, at=at)
    with pytest.raises(Refused, match="DEF-3 was mended on 10 July 2026 already"):
        mend_defect(defect_id=defect.pk, seen_version=2, proof="Mended.", by=BY, at=at)
    with pytest.raises(Refused, match="mended on"):
        check_defect(defect_id=defect.pk, by=BY, at=at, found="dry")


def test_opened_again_it_is_open_and_history_keeps_how_it_had_been_mended(at: datetime) -> None:
    defect = a_defect(opened_at=at)
    mend_defect(defect_id=defect.pk, seen_version=1, proof="New seals.", by=BY, at=at)

    with pytest.raises(BadInput, match="Say why"):
        reopen_defect(defect_id=defect.pk, seen_version=2, reason="", by=BY, at=at)
    reopen_defect(defect_id=defect.pk, seen_version=2, reason="Weeps again", by=BY, at=at + timedelta(1))

    line = history_page(defect.vessel_id)[0]
    assert line.changes["how_mended"] == ["New seals.", None]
    assert Defect.objects.get().closed_at is None
    assert chain_problem(defect.vessel_id) is None
    with pytest.raises(Refused, match="is open already"):
        reopen_defect(defect_id=defect.pk, seen_version=3, reason="x", by=BY, at=at)


def test_a_check_is_dated_with_the_hour_meter(at: datetime) -> None:
    defect = a_defect(number=3)

    check_defect(defect_id=defect.pk, by=BY, at=at, found="No worse.", engine_hours=3420.0)

    defect.refresh_from_db()
    assert (defect.checked_at, defect.checked_engine_hours, defect.version) == (at, 3420.0, 2)
    assert history_page(defect.vessel_id)[0].what == "DEF-3 checked: No worse."


def test_a_photo_is_added_later(at: datetime, tmp_path: Path) -> None:
    defect = a_defect(number=3)

    with override_settings(MEDIA_ROOT=tmp_path):
        add_photo(defect_id=defect.pk, photo=a_photo(), by=BY, at=at)

    assert defect.photos.count() == 1
    assert history_page(defect.vessel_id)[0].what == "A photo was added to DEF-3."
