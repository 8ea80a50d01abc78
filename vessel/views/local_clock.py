"""What a typed local time comes to, told under its field as soon as it is typed."""

from zoneinfo import available_timezones

from django.http import HttpRequest, HttpResponse
from django.utils.html import escape
from django.views.decorators.http import require_safe

from vessel.forms.local_time import time_told
from vessel.models import Membership
from vessel.views.permission import needs


@require_safe
@needs("read")
def echo(request: HttpRequest, aboard: Membership) -> HttpResponse:  # noqa: ARG001
    """ "Sat 15 May 07:30 (06:30 UTC)", or nothing while it is no time: `name` says under which name it is sent."""
    zone = request.GET.get("zone", "")
    typed = request.GET.get(request.GET.get("name", ""), "")
    return HttpResponse(escape(time_told(typed, zone)) if zone in available_timezones() else "")
