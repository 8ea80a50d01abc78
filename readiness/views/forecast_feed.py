"""The feeds: an owner adds, changes and stops them, and asks one now."""

from collections.abc import Callable
from datetime import datetime

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from readiness.actions.forecast_feed import add_feed, change_feed, fetch_feed
from readiness.forms.forecast import FeedForm, feed_initial
from readiness.models import ForecastFeed
from vessel.actions.coming_legs import ask_to_judge
from vessel.errors import Refused
from vessel.feeds.fetch import Door
from vessel.models import Membership
from vessel.views.once import done_once
from vessel.views.permission import needs

NOTHING_NEW = "{} has nothing newer than what is held."
CAME = "{} brought a forecast. Coming legs are being judged again."


@require_http_methods(["GET", "HEAD", "POST"])
@needs("feeds")
def add(request: HttpRequest, aboard: Membership) -> HttpResponse:
    """A new feed; it is asked within the hour."""
    form = FeedForm(request.POST or None, initial={"version": 0})

    def deed(at: datetime) -> int:
        return add_feed(vessel=aboard.vessel, by=request.user, at=at, own=settings.FEED_ADDRESSES, **form.columns()).pk

    return _formed(request, aboard, form, deed, title="Add a feed")


@require_http_methods(["GET", "HEAD", "POST"])
@needs("feeds")
def change(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """A feed changed or stopped."""
    row = _found(aboard, pk)
    form = FeedForm(request.POST or None, initial=feed_initial(row))

    def deed(at: datetime) -> int:
        seen = form.cleaned_data["version"]
        own = settings.FEED_ADDRESSES
        return change_feed(feed=row, seen_version=seen, by=request.user, at=at, own=own, **form.columns()).pk

    return _formed(request, aboard, form, deed, title=f"Change {row.name}")


@require_POST
@needs("feeds")
def fetch(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    """Ask a feed now; what goes wrong is said, and the last good copy is kept."""
    row, at = _found(aboard, pk), timezone.now()
    try:
        forecast = fetch_feed(feed_id=row.pk, by=request.user, at=at, door=Door(own=settings.FEED_ADDRESSES))
    except Refused as reason:
        messages.warning(request, str(reason))
        return redirect("readiness:forecasts")
    if forecast is None:
        messages.success(request, NOTHING_NEW.format(row.name))
        return redirect("readiness:forecasts")
    ask_to_judge(vessel_id=aboard.vessel_id, at=at)
    messages.success(request, CAME.format(row.name))
    return redirect("readiness:forecast", pk=forecast.pk)


def _formed(
    request: HttpRequest, aboard: Membership, form: FeedForm, deed: Callable[[datetime], int], *, title: str
) -> HttpResponse:
    at = timezone.now()
    if request.method == "POST" and done_once(request, aboard, form, lambda: deed(at), at=at) is not None:
        messages.success(request, f"{form.cleaned_data['name']} is saved.")
        return redirect("readiness:forecasts")
    context = {"form": form, "title": title}
    return render(request, "readiness/forecast/feed.html", context, status=422 if form.errors else 200)


def _found(aboard: Membership, pk: int) -> ForecastFeed:
    return get_object_or_404(ForecastFeed, pk=pk, vessel=aboard.vessel)
