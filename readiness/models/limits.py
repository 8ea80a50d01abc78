"""The limits a skipper has set for his boat; every version is kept, the newest holds."""

from django.db import models

from vessel.models import Vessel
from vessel.models.constraint import above_zero, named


class LimitSet(models.Model):
    """`values` holds only what differs from the printed defaults, by the names of readiness.rules.limits.Limits.

    Written by readiness.actions.limits only, which holds each value to its bounds; never changed afterwards.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="limit_sets")
    number = models.PositiveIntegerField()
    values = models.JSONField(default=dict, blank=True)
    set_at = models.DateTimeField()
    by = models.CharField(max_length=40)
    reason = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ["vessel_id", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "number"], name="limit_set_number_once"),
            *above_zero("limit_set", "number"),
            named("limit_set", "by"),
        ]

    def __str__(self) -> str:
        return f"limits {self.number}"
