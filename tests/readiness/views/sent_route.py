"""The route editor's form, as a browser would send it back."""

import re
from html import unescape
from typing import Any

from django.test import Client

FIELD = re.compile(r"<input[^>]*>")
SELECT = re.compile(r'<select name="([^"]+)".*?</select>', re.S)
CHOSEN = re.compile(r'<option value="([^"]*)" selected')


def attribute(tag: str, name: str) -> str:
    found = re.search(rf'\b{name}="([^"]*)"', tag)
    return unescape(found[1]) if found else ""


def sent_back(text: str, **changes: Any) -> dict[str, Any]:
    """Every field of the route's form with what it shows, and changes made to some; p0_lat stands for p0-lat."""
    form = text[text.index('id="route-form"') :]
    fields = {
        attribute(tag, "name"): attribute(tag, "value")
        for tag in FIELD.findall(form)
        if attribute(tag, "name") and attribute(tag, "name") not in {"csrfmiddlewaretoken", "next"}
    }
    for name in SELECT.findall(form):
        chosen = CHOSEN.search(form[form.index(f'<select name="{name}"') :].split("</select>")[0])
        fields[name] = unescape(chosen[1]) if chosen else ""
    return {**fields, **{re.sub(r"^(p\d+)_", r"\1-", name): value for name, value in changes.items()}}


def opened(browser: Client, pk: int) -> str:
    """The editor of a leg."""
    answer = browser.get(f"/legs/{pk}/route/")
    assert answer.status_code == 200
    return answer.content.decode()
