"""Who may see and change what of a vessel."""

from django.conf import settings
from django.db import models

from vessel.models.constraint import one_of
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class Role(models.TextChoices):
    OWNER = "owner", "owner"
    SKIPPER = "skipper", "skipper"
    CREW = "crew", "crew"
    VIEWER = "viewer", "viewer"


class Membership(Versioned):
    """One account's role aboard one vessel."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="memberships")
    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=8, choices=Role.choices)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["user", "vessel"], name="membership_once_for_each_vessel"),
            one_of("membership", "role", Role.values),
        ]

    def __str__(self) -> str:
        return f"{self.role} {self.user_id}"
