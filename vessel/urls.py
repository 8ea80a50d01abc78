from django.contrib.auth.decorators import login_not_required
from django.urls import URLPattern, URLResolver, path
from django.views.generic import RedirectView

from vessel.views import history, local_clock, person, quantity, set_up, stay, theme

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
    path("crew/", person.crew, name="crew"),
    path("crew/add/", person.add, name="add_person"),
    path("crew/<int:pk>/", person.person, name="person"),
    path("crew/<int:pk>/brief/", person.brief, name="brief"),
    path("crew/<int:pk>/rest/", person.rest, name="rest"),
    path("crew/<int:pk>/erase/", person.erase, name="erase_person"),
    path("crew/<int:pk>/stays/", stay.add, name="add_stay"),
    path("crew/<int:pk>/stays/<int:stay_id>/", stay.change, name="stay"),
    path("clock/", local_clock.echo, name="clock"),
    path("quantity/", quantity.echo, name="quantity"),
]
