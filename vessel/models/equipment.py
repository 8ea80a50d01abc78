"""Equipment fitted or carried, what feeds it, and how it is proved to work.

The state of an item is never typed in: it follows from defects, jobs and proofs.
"""

from django.db import models

from vessel.models.constraint import above_zero, in_order, named, not_below_zero, one_of, together
from vessel.models.equipment_kind import EquipmentKind, Subject
from vessel.models.precision import DatePrecision
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class ProofPlace(models.TextChoices):
    ALONGSIDE = "alongside", "alongside"
    AT_SEA = "at sea", "at sea"
    ASHORE = "ashore", "ashore"


class Equipment(Versioned):
    """One item. `carried` false: left ashore or never fitted by choice, so no spare is counted as lost;
    NULL: not known.

    `keep_days` is how long a proof keeps (empty: until the item is worked on); `single_by_nature`: she has one
    only, by design (her hull, her shaft).
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="equipment")
    code = models.CharField(max_length=12)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=32, choices=EquipmentKind.choices, default=EquipmentKind.OTHER)
    subject = models.CharField(max_length=16, choices=Subject.choices)
    space = models.CharField("where aboard", max_length=80, blank=True)
    single_by_nature = models.BooleanField(null=True, blank=True)
    carried = models.BooleanField(null=True, blank=True, default=True)
    below_water = models.BooleanField(default=False)
    typical_proof = models.CharField("how it is proved", max_length=200, blank=True)
    proof_minutes = models.PositiveIntegerField(null=True, blank=True)
    proof_where = models.CharField(max_length=10, choices=ProofPlace.choices, default=ProofPlace.ALONGSIDE)
    keep_days = models.PositiveIntegerField("a proof keeps for (days)", null=True, blank=True)
    quantity = models.FloatField(null=True, blank=True)
    rating = models.CharField(max_length=120, blank=True)
    make_and_model = models.CharField(max_length=120, blank=True)
    serial_number = models.CharField(max_length=120, blank=True)
    valid_until = models.DateField(null=True, blank=True)
    valid_until_precision = models.CharField(max_length=5, choices=DatePrecision.choices, null=True, blank=True)
    registered_on = models.DateField(null=True, blank=True)
    fitted_on = models.DateField(null=True, blank=True)
    removed_on = models.DateField(null=True, blank=True)
    feeds = models.ManyToManyField("self", symmetrical=False, through="FeedChoice", related_name="fed")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["vessel_id", "code"]
        verbose_name_plural = "equipment"
        constraints = [
            models.UniqueConstraint(fields=["vessel", "code"], name="equipment_code_once_aboard"),
            named("equipment", "code"),
            named("equipment"),
            one_of("equipment", "kind", EquipmentKind.values),
            one_of("equipment", "subject", Subject.values),
            one_of("equipment", "proof_where", ProofPlace.values),
            one_of("equipment", "valid_until_precision", DatePrecision.values),
            together("equipment", "valid_until", "valid_until_precision"),
            *above_zero("equipment", "keep_days"),
            *not_below_zero("equipment", "quantity"),
            in_order("equipment", "fitted_on", "removed_on"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class FeedChoice(models.Model):
    """One of the feeds that can keep an item running: any one of an item's rows is enough."""

    equipment = models.ForeignKey(Equipment, on_delete=models.CASCADE, related_name="feed_choices")
    feed = models.ForeignKey(Equipment, on_delete=models.PROTECT, related_name="feeds_of")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["equipment", "feed"], name="feed_choice_once"),
            models.CheckConstraint(name="feed_choice_is_another_item", condition=~models.Q(equipment=models.F("feed"))),
        ]

    def __str__(self) -> str:
        return f"{self.equipment_id} from {self.feed_id}"


class Proof(models.Model):
    """Somebody proved that an item works, or that it does not: when, how, by whom (a token, see Pseudonym)."""

    equipment = models.ForeignKey(Equipment, on_delete=models.CASCADE, related_name="proofs")
    at = models.DateTimeField()
    passed = models.BooleanField(default=True)
    text = models.CharField(max_length=400)
    where = models.CharField(max_length=10, choices=ProofPlace.choices, default=ProofPlace.ALONGSIDE)
    by = models.CharField(max_length=40)

    class Meta:
        ordering = ["equipment_id", "-at"]
        indexes = [models.Index(fields=["equipment", "-at"], name="proof_newest_first")]
        constraints = [
            named("proof", "text"),
            named("proof", "by"),
            one_of("proof", "where", ProofPlace.values),
        ]

    def __str__(self) -> str:
        return self.text
