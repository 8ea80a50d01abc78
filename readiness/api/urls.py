from django.urls import URLPattern, URLResolver, path

from readiness.api import leg, verdict

urlpatterns: list[URLPattern | URLResolver] = [
    path("legs/", leg.Legs.as_view(), name="api_legs"),
    path("legs/<int:pk>/", leg.LegDetail.as_view(), name="api_leg"),
    path("legs/<int:pk>/verdict/", verdict.LegVerdict.as_view(), name="api_verdict"),
]
