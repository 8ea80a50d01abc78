"""The route editor's form, as a browser would send it back."""

import re
from html import unescape
from typing import Any

from django.test import Client

from readiness.models import Leg

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


def way(leg: Leg) -> list[tuple[Any, ...]]:
    """Its points as they are stored."""
    names = (
        "name", "lat_deg", "lon_deg", "charted_m", "depth_matters", "tide_station_id", "gate_id"
    )  # fmt: skip
    return list(leg.points.order_by("number").values_list(*names))


def segments(leg: Leg) -> list[tuple[Any, ...]]:
    """Its segments as they are stored."""
    names = ("name", "kind", "exposed", "crosses_bar", "stream_by", "stream_table_id")
    return list(leg.segments.order_by("number").values_list(*names))


def save(browser: Client, leg: Leg, **changes: Any) -> Any:
    """The answer to the editor opened, changed and saved."""
    return browser.post(f"/legs/{leg.pk}/route/", sent_back(opened(browser, leg.pk), do="save", **changes))


def post(browser: Client, leg: Leg, do: str, **changes: Any) -> str:
    """The page after a button that saves nothing."""
    before = way(leg)
    answer = browser.post(f"/legs/{leg.pk}/route/", sent_back(opened(browser, leg.pk), do=do, **changes))
    assert answer.status_code == 200
    assert way(leg) == before
    return answer.content.decode()


def names(text: str) -> list[str]:
    """The names of the points on a page of the editor."""
    sent = sent_back(text)
    return [sent[f"p{place}-name"] for place in range(int(sent["count"]))]
