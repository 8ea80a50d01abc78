import pytest
from django.test import Client

from tests.factories.aboard import aboard, signed_in

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("typed", "zone", "told"),
    [
        ("2027-05-15T07:30", "Europe/Lisbon", "Sat 15 May 07:30 (06:30 UTC)"),
        ("2027-10-31T01:30", "Europe/Lisbon", "Sun 31 Oct 01:30 (00:30 UTC) or Sun 31 Oct 01:30 UTC"),
        ("2027-03-28T01:30", "Europe/Lisbon", "The clocks jump over this time."),
        ("soon", "Europe/Lisbon", ""),
        ("", "Europe/Lisbon", ""),
        ("2027-05-15T07:30", "../../etc/passwd", ""),
    ],
)
def test_a_typed_time_is_told_in_words(typed: str, zone: str, told: str) -> None:
    browser = signed_in(aboard())

    answer = browser.get("/clock/", {"name": "at", "at": typed, "zone": zone})

    assert (answer.status_code, answer.content.decode()) == (200, told)


def test_a_visitor_is_sent_to_sign_in() -> None:
    assert Client().get("/clock/").status_code == 302
