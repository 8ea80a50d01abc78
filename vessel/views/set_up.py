"""First set-up: no account and no key comes with the program; a code printed aboard opens this page once."""

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from vessel.actions.first_set_up import set_owner_password, set_up_vessel
from vessel.errors import Refused
from vessel.forms.set_up import PasswordForm, SetUpForm
from vessel.models import Vessel
from vessel.queries.setup_code import code_is_waiting, owners, somebody_can_sign_in

BACKEND = "allauth.account.auth_backends.AuthenticationBackend"


@login_not_required
@never_cache
@sensitive_post_parameters("password", "code")
def set_up(request: HttpRequest) -> HttpResponse:
    """Before there is a vessel: makes her and her owner. After: gives an owner a password."""
    first = not Vessel.objects.exists()
    form = _form(request, first=first)
    if request.method == "POST" and form.is_valid():
        try:
            user = _carry_out(form)
        except Refused as reason:
            form.add_error("code", str(reason))
        else:
            login(request, user, backend=BACKEND)
            return redirect("/")
    waiting = code_is_waiting(at=timezone.now())
    context = {"form": form, "first": first, "waiting": waiting, "anybody": somebody_can_sign_in()}
    return render(request, "vessel/set_up/page.html", context, status=422 if form.errors else 200)


def _form(request: HttpRequest, *, first: bool) -> PasswordForm:
    data = request.POST if request.method == "POST" else None
    if first:
        return SetUpForm(data)
    known = owners() if not somebody_can_sign_in() else []
    return PasswordForm(data, initial={"username": known[0].username if known else ""})


def _carry_out(form: PasswordForm) -> User:
    given = {name: form.cleaned_data[name] for name in ("code", "username", "password")}
    if isinstance(form, SetUpForm):
        aboard = set_up_vessel(**given, particulars=form.particulars(),
                               with_starting_list=form.cleaned_data["starting_list"], at=timezone.now())  # fmt: skip
        return User.objects.get(pk=aboard.user_id)
    return set_owner_password(**given, at=timezone.now())
