"""Things measured again and again: each a series with one unit, each reading with when and how it was taken."""

from django.db import models

from vessel.models.constraint import above_zero, named, not_below_zero, one_of, together
from vessel.models.electrics import ElectricalSource
from vessel.models.equipment import Equipment
from vessel.models.tank import Sump, Tank
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class SeriesKind(models.TextChoices):
    """What is measured; the unit of each is in `vessel.calc.quantity.SERIES_UNITS`."""

    ENGINE_HOURS = "engine_hours", "engine hours"
    TANK_LEVEL = "tank_level", "tank level"
    SUMP_LEVEL = "sump_level", "sump, above the lower mark"
    CONSUMABLE_ADDED = "consumable_added", "consumable added"
    GLAND_LEAK = "gland_leak", "gland leak"
    GLAND_RISE = "gland_rise", "gland above sea temperature"
    BILGE_INFLOW = "bilge_inflow", "water coming in"
    BEARING_CLEARANCE = "bearing_clearance", "stern bearing clearance"
    SHAFT_DIAMETER = "shaft_diameter", "shaft diameter"
    FREE_PLAY = "free_play", "free play"
    PLATE_THICKNESS = "plate_thickness", "plate thickness"
    RESTED_VOLTAGE = "rested_voltage", "rested voltage"
    CRANKING_VOLTAGE = "cranking_voltage", "voltage while cranking"
    CHARGING_VOLTAGE = "charging_voltage", "charging voltage"
    STATE_OF_CHARGE = "state_of_charge", "state of charge"
    COOLANT_TEMPERATURE = "coolant_temperature", "coolant temperature"
    OIL_PRESSURE = "oil_pressure", "oil pressure"
    ENGINE_SPACE_RISE = "engine_space_rise", "engine space above outside air"
    PUMP_RATE = "pump_rate", "pump rate"
    DRIPS = "drips", "drips"
    SEA_TEMPERATURE = "sea_temperature", "sea temperature"
    OTHER = "other", "other"


class LimitOutcome(models.TextChoices):
    """What a reading at the limit does to a leg."""

    ADVICE = "advice", "advice"
    CONDITION = "condition", "condition"
    NO_GO = "no_go", "no-go"


class LimitSide(models.TextChoices):
    ABOVE = "above", "at or above the limit"
    BELOW = "below", "at or below the limit"


class Series(Versioned):
    """One thing measured. Values are in `unit`, an SI unit or an accepted companion (mm, l, l/h, degC, 1/min).

    In a `consumable_added` series each value is what was added then, in litres, not a running total.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="series")
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=24, choices=SeriesKind.choices, default=SeriesKind.OTHER)
    unit = models.CharField(max_length=12)
    equipment = models.ForeignKey(Equipment, on_delete=models.CASCADE, null=True, blank=True, related_name="series")
    tank = models.ForeignKey(Tank, on_delete=models.CASCADE, null=True, blank=True, related_name="series")
    sump = models.ForeignKey(Sump, on_delete=models.CASCADE, null=True, blank=True, related_name="series")
    source = models.ForeignKey(ElectricalSource, on_delete=models.CASCADE, null=True, blank=True, related_name="series")
    limit = models.FloatField(null=True, blank=True)
    limit_side = models.CharField(max_length=5, choices=LimitSide.choices, default=LimitSide.ABOVE)
    limit_outcome = models.CharField(max_length=9, choices=LimitOutcome.choices, null=True, blank=True)
    keeps_s = models.PositiveIntegerField("a reading keeps for (s)", null=True, blank=True)
    keeps_engine_hours = models.FloatField("a reading keeps for (engine hours)", null=True, blank=True)

    class Meta:
        ordering = ["vessel_id", "name"]
        verbose_name_plural = "series"
        constraints = [
            models.UniqueConstraint(fields=["vessel", "name"], name="series_name_once_aboard"),
            named("series"),
            named("series", "unit"),
            one_of("series", "kind", SeriesKind.values),
            one_of("series", "limit_side", LimitSide.values),
            one_of("series", "limit_outcome", LimitOutcome.values),
            together("series", "limit", "limit_outcome"),
            *above_zero("series", "keeps_s", "keeps_engine_hours"),
        ]

    def __str__(self) -> str:
        return self.name


class HowTaken(models.TextChoices):
    MEASURED = "measured", "measured"
    READ_OFF = "read off", "read off"
    TOLD = "told", "told"
    ASSUMED = "assumed", "assumed"


class Reading(models.Model):
    """One value of a series. Never edited: a wrong one is struck out and a new one written.

    `conditions` holds, where they matter: radius_mm (free play), rested_s and on_charge (voltage), alone (cranking:
    on this battery only), running, heel_deg, rpm, cycles. `typed` is what the person wrote, kept for ever
    beside the value.
    """

    series = models.ForeignKey(Series, on_delete=models.CASCADE, related_name="readings")
    at = models.DateTimeField()
    value = models.FloatField()
    typed = models.CharField(max_length=60, blank=True)
    engine_hours = models.FloatField(null=True, blank=True)
    how = models.CharField(max_length=8, choices=HowTaken.choices, default=HowTaken.MEASURED)
    conditions = models.JSONField(default=dict, blank=True)
    note = models.CharField(max_length=200, blank=True)
    by = models.CharField(max_length=40)
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.CharField(max_length=40, null=True, blank=True)

    class Meta:
        ordering = ["series_id", "at", "pk"]
        indexes = [models.Index(fields=["series", "-at"], name="reading_newest_first")]
        constraints = [
            one_of("reading", "how", HowTaken.values),
            named("reading", "by"),
            *not_below_zero("reading", "engine_hours"),
            together("reading", "struck_at", "struck_by"),
        ]

    def __str__(self) -> str:
        return f"{self.value:g}"
