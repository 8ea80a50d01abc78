"""Weather warnings: what was in force when somebody looked. Every look is kept, the newest is used."""

from django.db import models

from vessel.models import Vessel
from vessel.models.constraint import in_order, named


class WarningLook(models.Model):
    """One look at the warnings for her waters. Never changed after it was written down.

    `items` is a list of {kind, area, start, end, text}, times in ISO 8601 UTC or null; empty: none in force. They
    speak until `good_to`, the end of the bulletin.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="warning_looks")
    source = models.CharField(max_length=200)
    looked_at = models.DateTimeField()
    good_to = models.DateTimeField()
    by = models.CharField(max_length=40)
    items = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["vessel_id", "-looked_at", "-pk"]
        indexes = [models.Index(fields=["vessel", "-looked_at"], name="warning_look_newest_first")]
        constraints = [
            named("warning_look", "source"),
            named("warning_look", "by"),
            in_order("warning_look", "looked_at", "good_to"),
        ]

    def __str__(self) -> str:
        return f"{self.source}, {self.looked_at:%Y-%m-%dT%H:%MZ}"
