import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from maintenance.models import Defect
from tests.factories.aboard import aboard, signed_in
from tests.factories.vessel import an_item
from tests.maintenance.views.photo import a_jpeg
from vessel.models import Attachment, DueWork, Membership, Role

pytestmark = pytest.mark.django_db
PAGE = "/defects/report/"


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def browser(ines: Membership) -> Client:
    return signed_in(ines)


def test_a_few_words_are_enough_and_the_rest_stays_not_known(browser: Client) -> None:
    answer = browser.post(PAGE, {"title": "Stern line chafed near the eye"})

    row = Defect.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, f"/defects/{row.pk}/")
    assert (row.title, row.effect, row.equipment) == ("Stern line chafed near the eye", None, None)
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").count() == 1


def test_the_same_form_sent_again_saves_one_defect(browser: Client) -> None:
    sent = {"title": "Stern line chafed", "once": "6f1c"}

    first, again = browser.post(PAGE, sent), browser.post(PAGE, sent)

    assert first["Location"] == again["Location"]
    assert Defect.objects.count() == 1


def test_a_form_saved_already_is_not_saved_with_other_words(browser: Client) -> None:
    browser.post(PAGE, {"title": "Stern line chafed", "once": "6f1c"})

    answer = browser.post(PAGE, {"title": "Bow line chafed", "once": "6f1c"})

    assert answer.status_code == 422
    assert "This form was saved already with other words." in answer.content.decode()
    assert "Bow line chafed" in answer.content.decode()
    assert Defect.objects.count() == 1


def test_each_form_that_is_opened_has_a_key_of_its_own(browser: Client) -> None:
    first, second = (browser.get(PAGE).context["form"]["once"].value() for _ in range(2))

    assert first != second


def test_words_photo_place_and_effect_are_kept(browser: Client, ines: Membership) -> None:
    item = an_item(ines.vessel)
    photo = SimpleUploadedFile("rope.jpg", a_jpeg(), content_type="image/jpeg")

    browser.post(PAGE, {"title": "Chafed", "photo": photo, "equipment": item.pk, "effect": "degrades",
                        "limit_text": "above 1,900 rpm"})  # fmt: skip

    row = Defect.objects.get()
    assert (row.equipment, row.effect, row.limit_text) == (item, "degrades", "above 1,900 rpm")
    assert row.photos.count() == 1


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"title": ""}, "Say in a few words what is wrong, such as"),
        ({"title": "x" * 201}, "at most 200"),
        ({"title": "Chafed", "effect": "ruins"}, "Select a valid choice"),
    ],
)
def test_a_mistake_is_told_at_its_field_and_the_words_are_kept(
    browser: Client, sent: dict[str, str], said: str
) -> None:
    answer = browser.post(PAGE, sent)

    text = answer.content.decode()
    assert answer.status_code == 422
    assert said in text
    assert sent["title"] in text
    assert "autofocus" in text
    assert not Defect.objects.exists()


@pytest.mark.parametrize("data", [b"<svg onload=alert(1)>", b"not a photo", a_jpeg()[:200]])
def test_a_file_that_is_no_photo_is_refused_and_nothing_is_saved(browser: Client, data: bytes) -> None:
    photo = SimpleUploadedFile("x.jpg", data, content_type="image/jpeg")

    answer = browser.post(PAGE, {"title": "Chafed", "photo": photo})

    assert answer.status_code == 422
    assert "Chafed" in answer.content.decode()
    assert (Defect.objects.count(), Attachment.objects.count()) == (0, 0)


def test_equipment_of_another_vessel_cannot_be_named(browser: Client) -> None:
    answer = browser.post(PAGE, {"title": "Chafed", "equipment": an_item().pk})

    assert answer.status_code == 422
    assert not Defect.objects.exists()


@pytest.mark.parametrize(
    ("words", "guessed"),
    [
        ("Bilge pump runs dry", "Bilge pump, forward"),
        ("the liferafts cradle", "Liferaft"),
        ("it rattles", ""),
        ("pump", ""),  # two pumps: no guess
    ],
)
def test_where_is_guessed_from_the_words_to_be_seen_and_changed(
    browser: Client, ines: Membership, words: str, guessed: str
) -> None:
    for name in ("Bilge pump, forward", "Seawater pump", "Liferaft"):
        an_item(ines.vessel, name=name)

    text = browser.get("/defects/report/where/", {"title": words}, HTTP_HX_REQUEST="true").content.decode()

    assert ("Guessed from your words" in text) is bool(guessed)
    assert (" selected>" in text.split("not known yet")[1]) is bool(guessed)
    if guessed:
        assert guessed in text.split(" selected>")[1].split("</option>")[0]


@pytest.mark.parametrize(("role", "status"), [(Role.CREW, 200), (Role.VIEWER, 403)])
def test_who_is_aboard_reports_and_a_viewer_does_not(ines: Membership, role: str, status: int) -> None:
    assert signed_in(aboard(ines.vessel, role)).get(PAGE).status_code == status


def test_the_form_takes_a_photo_from_the_camera(browser: Client) -> None:
    text = browser.get(PAGE).content.decode()

    assert 'accept="image/*"' in text
    assert 'enctype="multipart/form-data"' in text
