from django.urls import URLPattern, URLResolver

app_name = "vessel"
urlpatterns: list[URLPattern | URLResolver] = []
