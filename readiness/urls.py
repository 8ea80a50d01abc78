from django.urls import URLPattern, URLResolver, path

from readiness.views import evidence, home, leg

app_name = "readiness"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", home.home, name="home"),
    path("see/<str:kind>/<str:key>/", evidence.see, name="see"),
    path("legs/", leg.legs, name="legs"),
    path("legs/<int:pk>/", leg.leg, name="leg"),
]
