"""Taking in a forecast: a file is shown before it is taken in, a bulletin is typed, and the warnings are noted."""

from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from readiness.actions.forecast import note_warnings, take_in_forecast
from readiness.feeds.forecast_echo import ECHO
from readiness.feeds.take import look_at, take_forecast
from readiness.feeds.waiting_file import done_with, put_by, taken_up
from readiness.feeds.warning import TAKE_WARNINGS
from readiness.forms.forecast import BULLETIN, LONGEST_TEXT, BulletinForm, FileForm, KeepForm, WarningsForm
from readiness.models import Forecast
from readiness.views.forecast_doubts import doubts_of, is_over, over_words
from readiness.views.forecast_words import look_terms, part_words
from vessel.actions.coming_legs import ask_to_judge
from vessel.errors import BadInput, Refused
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs

FORECASTS = frozenset({"GRIB", "forecast table", "bulletin"})
TAKEN_IN = "The forecast is taken in. Coming legs are being judged again."
KEPT_OVER = "The forecast is taken in, though it is over."
NOTED = "The warnings are noted. Coming legs are being judged again."
NOT_ONE = "This is a file of another kind ({kind}), not a forecast. Nothing was taken in."


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def take(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Choose a file; what it holds is shown, and it waits to be taken in."""
    form = FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            return _looked_at(request, aboard, form, timezone.now())
        except BadInput as reason:
            form.add_error("file", str(reason))
    return render(request, "readiness/forecast/take.html", {"form": form}, status=422 if form.errors else 200)


def _looked_at(request: HttpRequest, aboard: Membership, form: FileForm, at: datetime) -> HttpResponse:
    file = form.cleaned_data["file"]
    data, name = file.read(), str(file.name)[:200]
    look = look_at(data, name)
    if look.kind not in FORECASTS:
        raise BadInput(NOT_ONE.format(kind=look.kind))
    zone, now, usable = aboard.vessel.home_zone, at.timestamp(), bool(look.known)
    key = put_by(data, owner=aboard.pk, at=at) if usable else ""
    keep = KeepForm(initial={"key": key, "source": name})
    keep.asks_even_over = is_over(look.last_at, now)
    context = {
        "form": keep,
        "usable": usable,
        "name": name,
        "terms": list(look_terms(look, zone, now)),
        "parts": [part_words(part) for part in look.parts],
        "doubts": [*look.warnings, *(doubts_of(look.known, look.last_at, now, zone) if usable else ())],
        "ignored": look.ignored,
    }
    return render(request, "readiness/forecast/look.html", context)


@require_POST
@needs("plan")
def keep(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Take in the file that was looked into."""
    form, at = KeepForm(request.POST), timezone.now()

    def deed() -> int:
        data = taken_up(form.cleaned_data["key"], owner=aboard.pk)
        row = _taken_in(request, aboard, form, data, at)
        done_with(form.cleaned_data["key"], owner=aboard.pk)
        return row.pk

    pk = done_once(request, aboard, form, deed, at=at)
    if pk is None:
        return render(request, "readiness/forecast/look.html", {"form": form, "usable": True}, status=422)
    return _judged_again(request, aboard, pk, at)


def _taken_in(
    request: HttpRequest, aboard: Membership, form: KeepForm | BulletinForm, data: bytes, at: datetime
) -> Forecast:
    forecast = take_forecast(data, source=form.cleaned_data.get("source", ""))
    given = form.cleaned_data
    return take_in_forecast(
        vessel=aboard.vessel, forecast=forecast, by=request.user, at=at, confidence=given["confidence"],
        even_over=given["even_over"],
    )  # fmt: skip


def _judged_again(request: HttpRequest, aboard: Membership, pk: int, at: datetime) -> HttpResponse:
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    ends_at = Forecast.objects.values_list("last_at", flat=True).get(pk=pk).timestamp()
    if is_over(ends_at, at.timestamp()):
        messages.warning(request, f"{KEPT_OVER} {over_words(ends_at, at.timestamp(), aboard.vessel.home_zone)}")
    else:
        messages.success(request, TAKEN_IN)
    return redirect("readiness:forecast", pk=pk)


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def type_in(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Type or paste a bulletin."""
    form, at = BulletinForm(request.POST or None), timezone.now()
    if request.method == "POST":
        pk = done_once(
            request, aboard, form,
            lambda: _taken_in(request, aboard, form, form.cleaned_data["text"].encode(), at).pk, at=at, field="text",
        )  # fmt: skip
        if pk is not None:
            return _judged_again(request, aboard, pk, at)
    context = {"form": form, "example": BULLETIN, **_echoed(request.POST.get("text", ""))}
    return render(request, "readiness/forecast/type.html", context, status=422 if form.errors else 200)


@require_POST
@needs("plan")
def echo(request: HttpRequest, aboard: Membership) -> HttpResponse:  # noqa: ARG001
    """How each line of what is typed so far was understood."""
    return render(request, "readiness/forecast/_echo.html", _echoed(request.POST.get("text", "")))


def _echoed(text: str) -> dict[str, object]:
    if not text.strip():
        return {}
    try:
        return {"echo": ECHO(text[:LONGEST_TEXT].encode())}
    except Refused as reason:
        return {"not_read": str(reason)}


@require_http_methods(["GET", "HEAD", "POST"])
@needs("plan")
def note(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """Note the warnings in force, or that there are none."""
    form, at = WarningsForm(request.POST or None, zone=aboard.vessel.home_zone), timezone.now()
    if request.method == "POST":

        def deed() -> int:
            written = form.written(none="none" in request.POST)
            return note_warnings(vessel=aboard.vessel, read=TAKE_WARNINGS(written), by=request.user, at=at).pk

        if done_once(request, aboard, form, deed, at=at, field="text") is not None:
            ask_to_judge(vessel_id=aboard.vessel_id, at=at)
            messages.success(request, NOTED)
            return redirect("readiness:forecasts")
    return render(request, "readiness/forecast/warnings.html", {"form": form}, status=422 if form.errors else 200)
