"""Safety equipment with counts, sizes and dates: lifejackets, raft, beacons, flares, extinguishers."""

from django.db import models

from vessel.models.constraint import above_zero, named, one_of, together
from vessel.models.equipment import Equipment
from vessel.models.precision import DatePrecision
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class SafetyKind(models.TextChoices):
    LIFEJACKET = "lifejacket", "lifejacket"
    LIFERAFT = "liferaft", "liferaft"
    BEACON = "beacon", "distress beacon"
    PERSONAL_BEACON = "personal_beacon", "personal beacon"
    FLARE = "flare", "flares"
    DISTRESS_LIGHT = "distress_light", "electronic distress light"
    EXTINGUISHER = "extinguisher", "extinguisher"
    FIRST_AID_KIT = "first_aid_kit", "first-aid kit"
    LIFEBUOY = "lifebuoy", "lifebuoy"
    GAS_HOSE = "gas_hose", "gas hose"
    ALARM = "alarm", "alarm"
    OTHER = "other", "other"


class JacketSize(models.TextChoices):
    ADULT = "adult", "adult"
    CHILD = "child", "child"
    INFANT = "infant", "infant"


class SafetyEquipment(Versioned):
    """`count` items of one kind, size and date. `capacity` is persons each (raft)."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="safety_equipment")
    equipment = models.ForeignKey(
        Equipment, on_delete=models.SET_NULL, null=True, blank=True, related_name="safety_equipment"
    )
    kind = models.CharField(max_length=16, choices=SafetyKind.choices)
    name = models.CharField(max_length=120)
    size = models.CharField(max_length=6, choices=JacketSize.choices, null=True, blank=True)
    count = models.PositiveSmallIntegerField(default=1)
    capacity = models.PositiveSmallIntegerField("persons", null=True, blank=True)
    serviced_on = models.DateField(null=True, blank=True)
    valid_until = models.DateField(null=True, blank=True)
    valid_until_precision = models.CharField(max_length=5, choices=DatePrecision.choices, null=True, blank=True)
    registered_on = models.DateField(null=True, blank=True)
    registered_to = models.CharField("registered to (token)", max_length=40, blank=True)
    registered_to_owner = models.BooleanField("registered to the present owner", null=True, blank=True)
    where_stowed = models.CharField(max_length=120, blank=True)

    class Meta:
        constraints = [
            named("safety_equipment"),
            one_of("safety_equipment", "kind", SafetyKind.values),
            one_of("safety_equipment", "size", JacketSize.values),
            one_of("safety_equipment", "valid_until_precision", DatePrecision.values),
            together("safety_equipment", "valid_until", "valid_until_precision"),
            *above_zero("safety_equipment", "capacity"),
        ]

    def __str__(self) -> str:
        return self.name
