from django.contrib.auth.decorators import login_not_required
from django.urls import URLPattern, URLResolver, path
from django.views.generic import RedirectView

from vessel.views import history, quantity, set_up, theme

app_name = "vessel"
urlpatterns: list[URLPattern | URLResolver] = [
    path("theme/", theme.choose, name="theme"),
    path("set-up/", set_up.set_up, name="setup"),
    # No mail leaves a boat for sure: a lost password is cured by a code from her own computer.
    path(
        "account/password/reset/",
        login_not_required(RedirectView.as_view(pattern_name="vessel:setup")),
        name="lost_password",
    ),
    path("history/", history.history, name="history"),
    path("quantity/", quantity.echo, name="quantity"),
]
