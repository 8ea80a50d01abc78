from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from maintenance.actions.defect import report_defect
from maintenance.models import Defect
from maintenance.views.which_unit import settled
from tests.factories.aboard import aboard, signed_in
from tests.factories.maintenance import a_defect, a_job
from tests.factories.vessel import a_series, an_item
from tests.maintenance.views.photo import a_jpeg
from vessel.actions.attachment import store_photo
from vessel.models import DueWork, HistoryEntry, Membership, Reading, Role

pytestmark = pytest.mark.django_db


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def browser(ines: Membership) -> Client:
    return signed_in(ines)


def page(browser: Client, address: str, **more: Any) -> str:
    answer = browser.get(address, **more)
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def watched(ines: Membership, **fields: Any) -> Defect:
    series = a_series(ines.vessel, name="Oil added", limit=0.06, limit_outcome="condition", **fields)
    return a_defect(ines.vessel, series=series, effect="none")


def test_an_empty_list_says_what_belongs_there_and_offers_one_button(browser: Client) -> None:
    text = page(browser, "/defects/")

    assert "belongs here" in text
    assert text.count("Report a defect</a>") == 2  # one in the frame, one in the page


def test_open_defects_stand_worst_first_and_what_is_not_known_says_so(browser: Client, ines: Membership) -> None:
    item = an_item(ines.vessel)
    for title, effect in (("cosmetic", "none"), ("slow", "degrades"), ("strange", None), ("dead", "disables")):
        a_defect(ines.vessel, title=title, effect=effect, equipment=item if effect else None)
    a_defect(ines.vessel, title="gone", closed_at=timezone.now(), closed_by="x", how_mended="New seal")

    text = page(browser, "/defects/")

    places = [text.index(title) for title in ("dead", "strange", "slow", "cosmetic", "gone")]
    assert places == sorted(places)
    assert text.count("effect not known") == 1
    assert text.count("where not known") == 1
    assert "New seal" in text


@pytest.mark.parametrize("rows", [1, 3])
def test_the_list_costs_the_same_however_long(
    browser: Client, ines: Membership, rows: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(rows):
        a_defect(ines.vessel, equipment=an_item(ines.vessel), effect="degrades")

    with django_assert_num_queries(7):
        page(browser, "/defects/")


@pytest.mark.parametrize("path", ["", "reading/", "mend/", "reopen/", "photos/" + "a" * 64])
def test_a_defect_of_another_vessel_is_not_there(browser: Client, path: str) -> None:
    foreign = a_defect()
    send = browser.post if path.endswith("/") and path else browser.get

    assert send(f"/defects/{foreign.pk}/{path}").status_code == 404


def test_a_stranger_is_refused_and_a_visitor_sent_to_sign_in(ines: Membership) -> None:
    row = a_defect(ines.vessel)

    assert Client().get(f"/defects/{row.pk}/")["Location"].startswith("/account/login/")
    stranger = Client()
    stranger.force_login(aboard().user)
    assert stranger.get(f"/defects/{row.pk}/").status_code == 404


@pytest.mark.parametrize(
    ("role", "path", "status"),
    [
        (Role.VIEWER, "", 200), (Role.VIEWER, "reading/", 403), (Role.VIEWER, "mend/", 403),
        (Role.CREW, "mend/", 422), (Role.CREW, "reading/", 422),
    ],
)  # fmt: skip
def test_a_viewer_may_look_but_not_change(ines: Membership, role: str, path: str, status: int) -> None:
    row = watched(ines)
    client = signed_in(aboard(ines.vessel, role))

    answer = client.post(f"/defects/{row.pk}/{path}") if path else client.get(f"/defects/{row.pk}/")

    assert answer.status_code == status
    if status == 403:
        assert "As viewer you may look at this" in answer.content.decode()
    if role == Role.VIEWER and not path:
        assert "Save the reading" not in answer.content.decode()


def test_one_defect_tells_its_effect_its_photos_its_jobs_and_its_history(browser: Client, ines: Membership) -> None:
    item = an_item(ines.vessel, name="Oil cooler")
    row = report_defect(vessel=ines.vessel, title="End seals weep", by=ines.user, at=timezone.now(),
                        equipment=item, effect="degrades", limit_text="above 80 degrees", photo=a_jpeg())  # fmt: skip
    a_job(ines.vessel, title="New end seals", defect=row, hours_low=3, hours_likely=5, hours_high=8)
    a_job(ines.vessel, title="Old idea", defect=row, status="dropped")

    text = page(browser, f"/defects/{row.pk}/")

    assert f"Degrades Oil cooler ({item.code}): above 80 degrees." in text
    assert "New end seals" in text
    assert "Old idea" not in text
    assert "reported: degrades" in text
    photo = browser.get(f"/defects/{row.pk}/photos/{row.photos.get().sha256}")
    assert photo.status_code == 200
    assert (photo["Content-Type"], photo["Content-Security-Policy"]) == ("image/jpeg", "sandbox")
    assert "private" in photo["Cache-Control"]


def test_a_photo_of_another_defect_is_not_there(browser: Client, ines: Membership) -> None:
    row = a_defect(ines.vessel)
    stored = store_photo(data=a_jpeg(), at=timezone.now())

    assert browser.get(f"/defects/{row.pk}/photos/{stored.sha256}").status_code == 404


def test_a_reading_is_written_and_the_coming_legs_are_judged_again(browser: Client, ines: Membership) -> None:
    row = watched(ines)

    answer = browser.post(f"/defects/{row.pk}/reading/", {"typed": "250 ml", "engine_hours": "4206"})

    assert answer.status_code == 302
    reading = Reading.objects.get(series=row.series)
    assert reading.value == pytest.approx(0.25)
    assert (reading.typed, reading.engine_hours) == ("250 ml", 4206.0)
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").count() == 1
    assert "being judged again" in page(browser, answer["Location"])


def test_a_unit_with_two_meanings_is_asked_back_and_then_taken(browser: Client, ines: Membership) -> None:
    row = watched(ines)

    asked = browser.post(f"/defects/{row.pk}/reading/", {"typed": "1/2 pt", "engine_hours": "4206"})

    text = asked.content.decode()
    assert asked.status_code == 422
    assert "UK pt = 0.284 L" in text
    assert "US pt = 0.237 L" in text
    assert 'value="1/2 pt"' in text
    assert 'value="4206"' in text
    assert not Reading.objects.filter(series=row.series).exists()

    browser.post(f"/defects/{row.pk}/reading/", {"typed": "1/2 pt", "engine_hours": "4206", "means": "US pt"})
    assert Reading.objects.get(series=row.series).value == pytest.approx(0.2366, abs=1e-4)


@pytest.mark.parametrize(
    ("typed", "means", "settles"),
    [
        ("1/2 pt", "UK pt", "1/2 UK pt"), ("2.5 gal", "US gal", "2.5 US gal"), ("1,250 l", "1.250", "1.250 l"),
        ("1,250", "1250", "1250"), ("20 in", "", "20 in"), ("3 1/2gal", "UK gal", "3 1/2 UK gal"),
    ],
)  # fmt: skip
def test_the_meaning_picked_takes_the_place_of_the_word(typed: str, means: str, settles: str) -> None:
    assert settled(typed, means) == settles


@pytest.mark.parametrize("typed", ["", "lots", "5 V", "-"])
def test_a_reading_that_is_none_is_refused_and_kept_in_its_box(browser: Client, ines: Membership, typed: str) -> None:
    row = watched(ines)

    answer = browser.post(f"/defects/{row.pk}/reading/", {"typed": typed})

    assert answer.status_code == 422
    assert f'value="{typed}"' in answer.content.decode() or not typed
    assert 'class="error"' in answer.content.decode()
    assert not Reading.objects.filter(series=row.series).exists()


def test_a_defect_that_is_not_watched_takes_no_reading(browser: Client, ines: Membership) -> None:
    assert browser.post(f"/defects/{a_defect(ines.vessel).pk}/reading/", {"typed": "1"}).status_code == 404


def test_the_trend_is_drawn_told_and_stands_in_a_table(browser: Client, ines: Membership) -> None:
    row = watched(ines)
    assert row.series is not None
    meter = a_series(ines.vessel, name="Hour meter", kind="engine_hours", unit="h")
    for step in range(6):
        taken = timezone.now() - timedelta(days=50 - 10 * step)
        meter.readings.create(at=taken, value=4100 + 10 * step, engine_hours=4100 + 10 * step, by="x")
        row.series.readings.create(at=taken, value=0.3 + 0.03 * step, engine_hours=4100 + 10 * step, by="x")

    text = page(browser, f"/defects/{row.pk}/")

    assert "45 mL per running hour, up from 33 over 40 h. Limit 60." in text
    assert "At this trend it gets there at about 4,200 h" in text
    assert text.count('class="spot"') == 5
    assert '<th scope="col">Taken</th>' in text


def test_mending_closes_it_proves_it_and_tells_history(browser: Client, ines: Membership) -> None:
    row = a_defect(ines.vessel, effect="degrades", equipment=an_item(ines.vessel))

    answer = browser.post(f"/defects/{row.pk}/mend/", {"version": row.version, "proof": "New seal, tried under way"})

    row.refresh_from_db()
    assert answer.status_code == 302
    assert row.how_mended == "New seal, tried under way"
    assert HistoryEntry.objects.filter(what__contains="mended: New seal").exists()
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").exists()
    assert "Open it again" in page(browser, f"/defects/{row.pk}/")


@pytest.mark.parametrize(("sent", "said"), [({"proof": ""}, "required"), ({"proof": "done", "version": 99}, "changed")])
def test_a_mending_refused_keeps_the_words(browser: Client, ines: Membership, sent: dict[str, Any], said: str) -> None:
    row = a_defect(ines.vessel)

    answer = browser.post(f"/defects/{row.pk}/mend/", {"version": row.version, **sent})

    row.refresh_from_db()
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert sent["proof"] in answer.content.decode()
    assert row.closed_at is None


def test_a_defect_with_an_open_job_stays_open_and_says_which(browser: Client, ines: Membership) -> None:
    row = a_defect(ines.vessel)
    job = a_job(ines.vessel, defect=row)

    answer = browser.post(f"/defects/{row.pk}/mend/", {"version": row.version, "proof": "done"})

    assert f"{job.code} is not proved yet" in answer.content.decode()


def test_a_mended_defect_is_opened_again(browser: Client, ines: Membership) -> None:
    row = a_defect(ines.vessel, closed_at=timezone.now(), closed_by="x", how_mended="New seal")

    refused = browser.post(f"/defects/{row.pk}/reopen/", {"version": row.version, "reason": ""})
    answer = browser.post(f"/defects/{row.pk}/reopen/", {"version": row.version, "reason": "weeps again"})

    row.refresh_from_db()
    assert (refused.status_code, answer.status_code, row.closed_at) == (422, 302, None)


@pytest.mark.parametrize(
    ("path", "sent", "words"),
    [
        ("reading/", {"typed": "250 ml"}, {"typed": "270 ml"}),
        ("mend/", {"version": 1, "proof": "New seal"}, {"proof": "New pump"}),
        ("propose/", {"proof": "New seal"}, {"proof": "New pump"}),
    ],
)
def test_a_form_sent_twice_is_done_once_and_with_other_words_is_asked_again(
    browser: Client, ines: Membership, path: str, sent: dict[str, Any], words: dict[str, Any]
) -> None:
    row = watched(ines)
    address, keyed = f"/defects/{row.pk}/{path}", {"once": "6f1c", **sent}

    first, again = browser.post(address, keyed), browser.post(address, keyed)
    written = HistoryEntry.objects.count()
    other = browser.post(address, {**keyed, **words})

    assert (first.status_code, again.status_code, other.status_code) == (302, 302, 422)
    assert HistoryEntry.objects.count() == written
    assert "This form was saved already with other words." in other.content.decode()
    assert list(words.values())[-1] in other.content.decode()
    assert Reading.objects.filter(series=row.series).count() == (path == "reading/")


def test_two_who_mend_it_at_once_see_both_texts_and_lose_none(browser: Client, ines: Membership) -> None:
    row = a_defect(ines.vessel)
    Defect.objects.filter(pk=row.pk).update(how_mended=None, version=2)

    answer = browser.post(f"/defects/{row.pk}/mend/", {"version": 1, "proof": "New pump", "once": "6f1c"})

    text = answer.content.decode()
    assert answer.status_code == 422
    assert "yours “New pump”" in text
    assert 'name="version" value="2"' in text
    assert ">\nNew pump</textarea>" in text
    assert 'value="6f1c"' not in text
