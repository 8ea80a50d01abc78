from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from readiness.forms.forecast import BULLETIN
from readiness.models import Forecast, WarningLook
from tests.factories.aboard import aboard, signed_in
from tests.readiness.feeds.samples import grib, message
from vessel.models import DueWork, Membership, Role

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 14, 17, 0, tzinfo=UTC)
TABLE = b"""time_utc,latitude,longitude,wind_kn,wind_from_deg,wave_height_m,issued_utc
2027-05-14T18:00Z,46.5,-15.0,14,225,0.8,2027-05-14T16:00Z
2027-05-14T21:00Z,46.5,-15.0,18,225,1.0,2027-05-14T16:00Z
"""


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def browser(ines: Membership) -> Client:
    return signed_in(ines)


def sent(browser: Client, data: bytes, name: str = "coast.csv") -> str:
    answer = browser.post("/forecasts/take/", {"file": SimpleUploadedFile(name, data)})
    assert answer.status_code == 200, answer.content.decode()
    return answer.content.decode()


def key_in(text: str) -> str:
    return text.split('name="key" value="')[1].split('"', maxsplit=1)[0]


def test_a_file_is_shown_before_anything_of_it_is_taken_in(browser: Client) -> None:
    text = sent(browser, TABLE)

    assert "forecast table" in text
    assert "Nothing is taken in yet." in text
    assert "46°30.00′ N 015°00.00′ W" in text
    assert Forecast.objects.count() == 0


def test_the_file_that_was_looked_into_is_taken_in_once(browser: Client) -> None:
    key = key_in(sent(browser, TABLE))
    typed = {"key": key, "source": "coast radio", "confidence": "low", "once": "a1"}

    first, again = (browser.post("/forecasts/keep/", typed) for _ in range(2))

    row = Forecast.objects.get()
    assert first["Location"] == again["Location"] == f"/forecasts/{row.pk}/"
    assert (row.source, row.confidence, row.issued_at) == ("coast radio", "low", datetime(2027, 5, 14, 16, tzinfo=UTC))
    assert DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").count() == 1


OLD = TABLE.replace(b"2027-05-14T", b"2011-10-08T")


def test_what_a_file_does_not_hold_is_doubted_before_and_after_it_is_taken_in(browser: Client) -> None:
    before = sent(browser, TABLE)
    browser.post("/forecasts/keep/", {"key": key_in(before), "source": "coast radio", "confidence": "", "once": "a1"})
    after = browser.get(f"/forecasts/{Forecast.objects.get().pk}/").content.decode()

    for text in (before, after):
        assert "No gusts: legs outside cannot be said yet." in text
        assert "No wave direction: seas on the stream are not known." in text
        assert "No wave height" not in text
        assert "it says nothing of any day to come" not in text


def test_a_forecast_that_is_over_says_so_and_is_taken_in_only_where_that_is_ticked(browser: Client) -> None:
    text = sent(browser, OLD)
    typed = {"key": key_in(text), "source": "coast radio", "confidence": "", "once": "a1"}

    refused = browser.post("/forecasts/keep/", typed)
    kept = browser.post("/forecasts/keep/", {**typed, "even_over": "on"}, follow=True)

    over = "It ended Sat 8 Oct 2011 22:00 (21:00 UTC): it says nothing of any day to come."
    assert over in text
    assert 'name="even_over"' in text
    assert refused.status_code == 422
    assert "This forecast ended Sat 8 Oct 2011 21:00 UTC" in refused.content.decode()
    assert 'name="even_over"' in refused.content.decode()
    assert Forecast.objects.count() == 1
    assert f"The forecast is taken in, though it is over. {over}" in kept.content.decode()


def test_the_tick_is_asked_of_no_other_forecast(browser: Client) -> None:
    assert 'name="even_over"' not in sent(browser, TABLE)
    assert 'name="even_over"' not in browser.get("/forecasts/type/").content.decode()


def test_a_bulletin_that_is_over_asks_for_the_tick_too(browser: Client) -> None:
    typed = {"text": BULLETIN.replace("2027-05", "2026-05"), "confidence": "", "once": "a1"}

    refused = browser.post("/forecasts/type/", typed)
    assert (refused.status_code, Forecast.objects.count()) == (422, 0)
    assert 'name="even_over"' in refused.content.decode()
    browser.post("/forecasts/type/", {**typed, "even_over": "on"})

    assert Forecast.objects.count() == 1


def test_a_file_of_which_nothing_can_be_used_is_not_offered(browser: Client) -> None:
    text = sent(browser, grib(message("10u", lambda *_: 5.0)), name="half.grib")

    assert "The east part of the wind is there without the north part" in text
    assert "It cannot be taken in" in text
    assert "/forecasts/keep/" not in text


def test_a_file_of_another_member_cannot_be_taken_in(browser: Client, ines: Membership) -> None:
    key = key_in(sent(browser, TABLE))
    roke = signed_in(aboard(ines.vessel, Role.SKIPPER))

    answer = roke.post("/forecasts/keep/", {"key": key, "source": "coast radio", "once": "b1"})

    assert answer.status_code == 422
    assert "Choose it again" in answer.content.decode()
    assert Forecast.objects.count() == 0


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "is empty"),
        (b"\x00\x01\x02rubbish", "is not a file that can be read here"),
        (b"time_utc,height_m,type\n2027-05-14T18:00Z,3.1,H\n", "not a forecast"),
        (TABLE.replace(b"14,225", b"fourteen,225"), "fourteen"),
    ],
)
def test_a_file_that_is_no_forecast_is_refused_with_why(browser: Client, data: bytes, said: str) -> None:
    answer = browser.post("/forecasts/take/", {"file": SimpleUploadedFile("x.bin", data)})

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert Forecast.objects.count() == 0


def test_a_bulletin_is_taken_in_as_it_was_typed(browser: Client) -> None:
    answer = browser.post("/forecasts/type/", {"text": BULLETIN, "confidence": "", "once": "a1"})

    row = Forecast.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, f"/forecasts/{row.pk}/")
    assert (row.source, row.confidence) == ("coast radio", None)
    assert "Ahead the most wind" not in answer.content.decode()


def test_a_bulletin_with_an_unknown_word_names_line_and_word_and_keeps_what_was_typed(browser: Client) -> None:
    answer = browser.post("/forecasts/type/", {"text": BULLETIN.replace("moderate", "bumpy", 1), "once": "a1"})

    text = answer.content.decode()
    assert answer.status_code == 422
    assert "Line 6" in text
    assert "bumpy" in text
    assert Forecast.objects.count() == 0


def test_while_it_is_typed_each_line_is_told_as_it_is_understood(browser: Client) -> None:
    text = browser.post("/forecasts/echo/", {"text": BULLETIN}).content.decode()

    assert "Every line is understood." in text
    assert "11 to 21 kn, from SW" in text
    assert "<h1" not in text
    assert "<table" not in browser.post("/forecasts/echo/", {"text": " "}).content.decode()


def test_warnings_are_noted_with_the_end_of_the_bulletin(browser: Client) -> None:
    typed = {
        "text": "gale, Outer Sound",
        "source": "coast radio",
        "good_to": "2027-05-15T18:00",
        "some": "1",
        "once": "a1",
    }

    answer = browser.post("/forecasts/warnings/", typed)

    look = WarningLook.objects.get()
    assert answer.status_code == 302
    assert ([item["area"] for item in look.items], look.source, look.looked_at) == (["Outer Sound"], "coast radio", NOW)


def test_none_in_force_is_a_statement_of_its_own(browser: Client) -> None:
    typed = {"text": "", "source": "coast radio", "good_to": "2027-05-15T18:00"}

    silent = browser.post("/forecasts/warnings/", {**typed, "some": "1", "once": "a1"})
    assert silent.status_code == 422
    assert WarningLook.objects.count() == 0

    browser.post("/forecasts/warnings/", {**typed, "none": "1", "once": "a2"})

    assert WarningLook.objects.get().items == []


def test_a_bulletin_that_has_ended_is_refused(browser: Client) -> None:
    typed = {"text": "", "source": "coast radio", "good_to": "2027-05-13T18:00", "none": "1", "once": "a1"}

    answer = browser.post("/forecasts/warnings/", typed)

    assert answer.status_code == 422
    assert "before it was looked at" in answer.content.decode()


@pytest.mark.parametrize(
    ("role", "status"), [(Role.OWNER, 200), (Role.SKIPPER, 200), (Role.CREW, 403), (Role.VIEWER, 403)]
)
def test_owner_and_skipper_take_forecasts_in_and_nobody_else(role: str, status: int) -> None:
    browser = signed_in(aboard(role=role))

    got = {browser.get(page).status_code for page in ("/forecasts/take/", "/forecasts/type/", "/forecasts/warnings/")}

    assert got == {status}
    assert browser.post("/forecasts/echo/", {"text": "x"}).status_code == status
