from django.urls import URLPattern, URLResolver

app_name = "maintenance"
urlpatterns: list[URLPattern | URLResolver] = []
