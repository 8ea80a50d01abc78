"""What a run really used: litres between two readings of the hour meter, at a mean engine or boat speed."""

from django.db import models

from vessel.models.constraint import above_zero, in_order, named, not_below_zero, together
from vessel.models.vessel import Vessel


class FuelUse(models.Model):
    """One run from full tank to full tank, or between two dips. Never edited: a wrong one is struck out."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="fuel_uses")
    at = models.DateTimeField("end of the run")
    from_engine_hours = models.FloatField()
    to_engine_hours = models.FloatField()
    used_l = models.FloatField()
    mean_rpm = models.FloatField(null=True, blank=True)
    mean_speed_mps = models.FloatField("mean speed through the water (m/s)", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    by = models.CharField(max_length=40)
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.CharField(max_length=40, null=True, blank=True)

    class Meta:
        ordering = ["vessel_id", "at", "pk"]
        constraints = [
            named("fuel_use", "by"),
            *not_below_zero("fuel_use", "from_engine_hours"),
            in_order("fuel_use", "from_engine_hours", "to_engine_hours"),
            *above_zero("fuel_use", "used_l", "mean_rpm", "mean_speed_mps"),
            models.CheckConstraint(
                name="fuel_use_tells_an_engine_or_a_boat_speed",
                condition=models.Q(mean_rpm__isnull=False) | models.Q(mean_speed_mps__isnull=False),
            ),
            together("fuel_use", "struck_at", "struck_by"),
        ]

    def __str__(self) -> str:
        return f"{self.used_l:g} L in {self.to_engine_hours - self.from_engine_hours:g} h"
