"""Asking for pages at the hour of the worked example."""

from datetime import UTC, datetime

from django.test import Client

NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)


def page(browser: Client, address: str, status: int = 200) -> str:
    """The text of a page."""
    answer = browser.get(address)
    assert answer.status_code == status
    return answer.content.decode()
