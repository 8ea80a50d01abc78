"""Spares and stock aboard: how much, where stowed, and the least to keep."""

from django.db import models

from vessel.models import Consumable, Equipment, Vessel
from vessel.models.constraint import named, not_below_zero, one_of
from vessel.models.versioned import Versioned


class Spare(Versioned):
    """One part or consumable in stock. `quantity` NULL: not counted. Liquids carry the unit l."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="spares")
    part = models.CharField(max_length=120)
    part_number = models.CharField(max_length=80, blank=True)
    quantity = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=12, default="1")
    where_stowed = models.CharField(max_length=120, blank=True)
    keep_min = models.FloatField(null=True, blank=True)
    consumable = models.CharField(max_length=16, choices=Consumable.choices, null=True, blank=True)
    equipment = models.ForeignKey(Equipment, on_delete=models.SET_NULL, null=True, blank=True, related_name="spares")
    counted_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["vessel_id", "part"]
        constraints = [
            named("spare", "part"),
            one_of("spare", "consumable", Consumable.values),
            *not_below_zero("spare", "quantity", "keep_min"),
        ]

    def __str__(self) -> str:
        return self.part
