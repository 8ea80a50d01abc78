from django.urls import URLPattern, URLResolver, path

from readiness.views import home, leg

app_name = "readiness"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", home.home, name="home"),
    path("legs/", leg.legs, name="legs"),
    path("legs/<int:pk>/", leg.leg, name="leg"),
]
