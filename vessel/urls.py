from django.urls import URLPattern, URLResolver, path

from vessel.views import history, quantity, set_up, theme

app_name = "vessel"
urlpatterns: list[URLPattern | URLResolver] = [
    path("theme/", theme.choose, name="theme"),
    path("set-up/", set_up.set_up, name="setup"),
    path("history/", history.history, name="history"),
    path("quantity/", quantity.echo, name="quantity"),
]
