from django.urls import URLPattern, URLResolver, path

from vessel.views import theme

app_name = "vessel"
urlpatterns: list[URLPattern | URLResolver] = [
    path("theme/", theme.choose, name="theme"),
]
