"""Batteries, converters and what they feed: direct current, amperes and ampere-hours as the plates say."""

from django.db import models
from django.db.models import Q

from vessel.models.constraint import above_zero, named, not_below_zero, one_of, together, within
from vessel.models.equipment import Equipment
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class SourceKind(models.TextChoices):
    CRANK = "crank", "crank battery"
    SHIP = "ship", "ship's bank"
    BOOSTER = "booster", "booster pack"


class Chemistry(models.TextChoices):
    LEAD_ACID = "lead-acid", "lead-acid"
    LITHIUM = "lithium", "lithium iron phosphate"


class ElectricalSource(Versioned):
    """A battery or bank. `charge_at_end` is its state of charge (0 to 1) when charging last ended."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="electrical_sources")
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=8, choices=SourceKind.choices)
    equipment = models.ForeignKey(Equipment, on_delete=models.CASCADE, related_name="electrical_sources")
    capacity_ah = models.FloatField(null=True, blank=True)
    nominal_v = models.FloatField()
    chemistry = models.CharField(max_length=10, choices=Chemistry.choices, null=True, blank=True)
    charger_a = models.FloatField("what charges it gives (A)", null=True, blank=True)
    charge_ended_at = models.DateTimeField(null=True, blank=True)
    charge_at_end = models.FloatField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["vessel", "name"], name="electrical_source_name_once_aboard"),
            named("electrical_source"),
            one_of("electrical_source", "kind", SourceKind.values),
            one_of("electrical_source", "chemistry", Chemistry.values),
            *above_zero("electrical_source", "capacity_ah", "nominal_v", "charger_a"),
            within("electrical_source", "charge_at_end", 0, 1),
            together("electrical_source", "charge_ended_at", "charge_at_end"),
        ]

    def __str__(self) -> str:
        return self.name


class Converter(Versioned):
    """A converter between voltages; rating and peak are of its output."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="converters")
    name = models.CharField(max_length=80)
    equipment = models.OneToOneField(Equipment, on_delete=models.CASCADE, related_name="converter")
    source = models.ForeignKey(ElectricalSource, on_delete=models.PROTECT, related_name="converters")
    output_v = models.FloatField()
    rating_a = models.FloatField(null=True, blank=True)
    peak_a = models.FloatField(null=True, blank=True)
    efficiency = models.FloatField(null=True, blank=True)

    class Meta:
        constraints = [
            named("converter"),
            *above_zero("converter", "output_v", "rating_a", "peak_a"),
            within("converter", "efficiency", 0.1, 1.0),
        ]

    def __str__(self) -> str:
        return self.name


class Load(Versioned):
    """One consumer, on a source or behind a converter; amperes at the voltage of its feed.

    `duty` is the share of time it runs; `essential`: kept on when the bank must last (NULL:
    not known); `left_on_since`: found running
    with nobody aboard.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="loads")
    name = models.CharField(max_length=80)
    equipment = models.ForeignKey(Equipment, on_delete=models.SET_NULL, null=True, blank=True, related_name="loads")
    source = models.ForeignKey(ElectricalSource, on_delete=models.PROTECT, null=True, blank=True, related_name="loads")
    converter = models.ForeignKey(Converter, on_delete=models.PROTECT, null=True, blank=True, related_name="loads")
    running_a = models.FloatField(null=True, blank=True)
    peak_a = models.FloatField(null=True, blank=True)
    duty = models.FloatField(default=1.0)
    essential = models.BooleanField(null=True, blank=True)
    under_way = models.BooleanField("runs together with the others under way", default=True)
    left_on_since = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["vessel", "name"], name="load_name_once_aboard"),
            named("load"),
            *not_below_zero("load", "running_a", "peak_a"),
            within("load", "duty", 0, 1),
            models.CheckConstraint(
                name="load_has_one_feed",
                condition=Q(source__isnull=True, converter__isnull=False)
                | Q(source__isnull=False, converter__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return self.name
