"""What a typed quantity comes to, told beside its field while it is typed."""

from django.http import HttpRequest, HttpResponse
from django.utils.html import escape
from django.views.decorators.http import require_safe

from vessel.calc.quantity import WhichUnit, parse_quantity
from vessel.calc.unit_words import unit_word
from vessel.calc.wording import with_unit
from vessel.errors import BadInput
from vessel.models import Membership
from vessel.views.permission import needs

FIGURES = 3


@require_safe
@needs("read")
def echo(request: HttpRequest, aboard: Membership) -> HttpResponse:  # noqa: ARG001
    """ "= 0.508 m", the units a word may mean, or nothing while it is no quantity yet."""
    typed, unit = request.GET.get("typed", ""), request.GET.get("unit", "")[:12]
    return HttpResponse(escape(_told(typed, unit)))


def _told(typed: str, unit: str) -> str:
    if not typed.strip():
        return ""
    try:
        return f"= {with_unit(parse_quantity(typed, unit), unit_word(unit), FIGURES)}"
    except WhichUnit as question:
        return f"{' or '.join(question.choices)}?"
    except BadInput:
        return ""
