"""Doing the deed of a form that was sent, once, and saying at the form why where it was not done."""

from collections.abc import Callable
from datetime import datetime

from django.http import HttpRequest

from vessel.actions.given_answer import KeyUsedOtherwise, answer_once
from vessel.errors import Refused
from vessel.forms.plain import OnceForm
from vessel.models import Membership

SAVED_ALREADY = (
    "This form was saved already with other words. Those stand; what is typed here is not saved yet. "
    "Save again if it should be saved as well."
)


def done_once(
    request: HttpRequest, aboard: Membership, form: OnceForm, deed: Callable[[], int], *, at: datetime, field: str = ""
) -> int | None:
    """The number the deed gave (a primary key), or None where nothing was done: the form then says why.

    The same form sent again, after Back or on a bad line, gives the first number and does nothing. `field` is the one
    a refusal is told at.
    """
    if not form.is_valid():
        return None
    try:
        return _once(request, aboard, form, deed, at)
    except KeyUsedOtherwise:
        form.add_error(None, SAVED_ALREADY)
        form.ask_again()
    except Refused as reason:
        form.refuse(reason, field)
    return None


def _once(request: HttpRequest, aboard: Membership, form: OnceForm, deed: Callable[[], int], at: datetime) -> int:
    if not form.cleaned_data["once"]:
        return deed()
    kept, _ = answer_once(
        membership=aboard,
        key=f"form {form.cleaned_data['once']}",
        request=("POST", request.path, form.words()),
        at=at,
        deed=lambda: {"pk": deed()},
    )
    return int(kept["pk"])
