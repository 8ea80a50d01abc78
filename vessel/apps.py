from django.apps import AppConfig


class VesselConfig(AppConfig):
    name = "vessel"
    default_auto_field = "django.db.models.BigAutoField"
