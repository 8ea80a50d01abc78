"""Day, high contrast, night red, or as the device says: kept in a cookie, on <html> from the first byte."""

from dataclasses import dataclass

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

COOKIE_AGE_S = 365 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme, its name in words, and what the browser's own parts go by."""

    key: str
    name: str
    color_scheme: str
    paper: str


THEMES = (
    Theme("day", "Day", "light", "#faf7ef"),
    Theme("contrast", "High contrast", "light", "#ffffff"),
    Theme("night", "Night", "dark", "#000000"),
    Theme("device", "As the device says", "light dark", "#faf7ef"),
)
BY_KEY = {theme.key: theme for theme in THEMES}


def cookie_name() -> str:
    return f"{settings.COOKIE_PREFIX}_theme"


def theme_of(request: HttpRequest) -> Theme:
    """The theme asked for last; day where nothing or nonsense was asked for."""
    return BY_KEY.get(request.COOKIES.get(cookie_name(), ""), THEMES[0])


@login_not_required
@require_POST
def choose(request: HttpRequest) -> HttpResponse:
    """Sets the theme and goes back to the page it was chosen on; a script that changes it in place asks for JSON."""
    theme = BY_KEY.get(request.POST.get("theme", ""), THEMES[0])
    response: HttpResponse
    if request.headers.get("Accept") == "application/json":
        response = JsonResponse({"key": theme.key, "color_scheme": theme.color_scheme, "paper": theme.paper})
    else:
        response = HttpResponseRedirect(_back(request))
    response.set_cookie(
        cookie_name(), theme.key, max_age=COOKIE_AGE_S, secure=settings.SESSION_COOKIE_SECURE, httponly=True,
        samesite="Lax",
    )  # fmt: skip
    return response


def _back(request: HttpRequest) -> str:
    """The page the theme was chosen on, where it is one of ours."""
    back = request.POST.get("next", "/")
    ours = url_has_allowed_host_and_scheme(back, allowed_hosts={request.get_host()}, require_https=request.is_secure())
    return back if ours else "/"
