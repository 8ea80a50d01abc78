"""Signing in: no sign-up page, and wrong passwords cost waiting, never a lock for good."""

from datetime import timedelta

from allauth.account.adapter import DefaultAccountAdapter
from axes.models import AccessFailureLog
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from vessel.calc.wording import duration

WAIT_STEPS = (  # wrong passwords in a day, and the wait after them
    (20, timedelta(minutes=15)),
    (10, timedelta(minutes=5)),
    (0, timedelta(minutes=1)),
)
REMEMBERED_FOR = timedelta(days=1)


class NoSignUp(DefaultAccountAdapter):  # type: ignore[misc]
    """Accounts are made by an owner, or with a code printed aboard."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:  # noqa: ARG002
        return False


def name_typed(request: HttpRequest | None, credentials: dict[str, str] | None = None) -> str:
    """The name a sign-in was tried with."""
    given = credentials or {}
    typed = given.get("username") or given.get("email") or (request.POST.get("login", "") if request else "")
    return typed.strip().lower()


def wait_after(request: HttpRequest | None) -> timedelta:
    """How long a name must wait at one address: the longer the more often the password was wrong in a day."""
    failures = 0
    if request is not None and (typed := name_typed(request)):
        since = timezone.now() - REMEMBERED_FOR
        failures = AccessFailureLog.objects.filter(
            username=typed, ip_address=request.META.get("REMOTE_ADDR"), attempt_time__gte=since
        ).count()
    return next(wait for most, wait in WAIT_STEPS if failures >= most)


def told_to_wait(request: HttpRequest, *_: object, **__: object) -> HttpResponse:
    """The answer while a name waits."""
    wait = wait_after(request)
    answer = render(request, "vessel/locked.html", {"wait": duration(wait.total_seconds())}, status=429)
    answer["Retry-After"] = str(round(wait.total_seconds()))
    return answer
