from django.urls import URLPattern, URLResolver, path
from drf_spectacular.views import SpectacularAPIView

from vessel.api import description

urlpatterns: list[URLPattern | URLResolver] = [
    path("schema/", SpectacularAPIView.as_view(), name="api_schema"),
    path("docs/", description.page, name="api_docs"),
    path("<path:rest>", description.Nowhere.as_view()),  # last: whatever is left
]
