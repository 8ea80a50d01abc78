"""Tanks and sumps: what holds fuel, water, oil and coolant, and how much of it can be counted on."""

from django.db import models

from vessel.models.constraint import above_zero, named, not_below_zero, one_of
from vessel.models.equipment import Equipment
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class TankKind(models.TextChoices):
    FUEL = "fuel", "fuel"
    WATER = "water", "water"


class GaugeKind(models.TextChoices):
    DIP = "dip", "dip"
    SIGHT = "sight glass", "sight glass"
    GAUGE = "gauge", "gauge"


class Tank(Versioned):
    """A tank. Its level is a reading in a series of kind `tank_level`, in litres, with how it was read."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="tanks")
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=5, choices=TankKind.choices)
    equipment = models.ForeignKey(Equipment, on_delete=models.SET_NULL, null=True, blank=True, related_name="tanks")
    gauge = models.CharField("how its level is read", max_length=12, choices=GaugeKind.choices, null=True, blank=True)
    capacity_l = models.FloatField()
    unusable_l = models.FloatField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["vessel", "name"], name="tank_name_once_aboard"),
            named("tank"),
            one_of("tank", "kind", TankKind.values),
            one_of("tank", "gauge", GaugeKind.values),
            *above_zero("tank", "capacity_l"),
            *not_below_zero("tank", "unusable_l"),
            models.CheckConstraint(
                name="tank_unusable_part_is_less_than_it_holds",
                condition=models.Q(unusable_l__lt=models.F("capacity_l")),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Consumable(models.TextChoices):
    ENGINE_OIL = "engine_oil", "engine oil"
    COOLANT = "coolant", "coolant"
    HYDRAULIC_OIL = "hydraulic_oil", "hydraulic oil"
    GEARBOX_OIL = "gearbox_oil", "gearbox oil"


class Sump(Versioned):
    """What can be lost from a sump, header tank or reservoir before its lower mark, when filled to the upper one.

    What was added is a series of kind `consumable_added` (litres, running total or each addition, see Series);
    what stands above the lower mark now is a series of kind `sump_level` (litres above the lower mark).
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="sumps")
    consumable = models.CharField(max_length=16, choices=Consumable.choices)
    equipment = models.ForeignKey(Equipment, on_delete=models.CASCADE, related_name="sumps")
    above_min_l = models.FloatField("from upper to lower mark (L)")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["equipment", "consumable"], name="sump_once_for_each_item"),
            one_of("sump", "consumable", Consumable.values),
            *above_zero("sump", "above_min_l"),
        ]

    def __str__(self) -> str:
        return self.get_consumable_display()
