"""Every address of the house: three includes for pages, three for the API, two for whoever watches it."""

from django.urls import URLPattern, URLResolver, include, path

from config.api_index import Index
from vessel.views import health

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("readiness.urls")),
    path("", include("maintenance.urls")),
    path("", include("vessel.urls")),
    path("api/v1/", Index.as_view(), name="api"),
    path("api/v1/", include("readiness.api.urls")),
    path("api/v1/", include("maintenance.api.urls")),
    path("api/v1/", include("vessel.api.urls")),
    path("live", health.live, name="live"),
    path("ready", health.ready, name="ready"),
    path("account/", include("allauth.urls")),
]
