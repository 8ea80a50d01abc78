"""For whoever watches the service: /live says that it answers, /ready that it can do its work."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from vessel.queries.service_check import Check, check_service


@login_not_required
@never_cache
@require_safe
def live(request: HttpRequest) -> HttpResponse:
    """Answers without the database."""
    return _answer(request, ok=True, checks=[])


@login_not_required
@never_cache
@require_safe
def ready(request: HttpRequest) -> HttpResponse:
    """200 or 503; only who is signed in reads which check failed and why."""
    checks = check_service(at=timezone.now())
    known = request.user.is_authenticated
    return _answer(request, ok=all(check.ok for check in checks), checks=checks if known else [])


def _answer(request: HttpRequest, *, ok: bool, checks: list[Check]) -> HttpResponse:
    status = 200 if ok else 503
    if request.accepts("text/plain") and request.get_preferred_type(["text/plain", "application/json"]) != (
        "application/json"
    ):
        lines = ["ok" if ok else "not ok", *(f"{check.name}: {check.sentence}" for check in checks)]
        return HttpResponse("\n".join(lines) + "\n", content_type="text/plain; charset=utf-8", status=status)
    said = {"ok": ok, "checks": {check.name: {"ok": check.ok, "says": check.sentence} for check in checks}}
    return JsonResponse(said if checks else {"ok": ok}, status=status)
