"""What is wrong with her: a defect, what it does to the equipment, and until when it can wait."""

from django.db import models
from django.db.models import Q

from vessel.models import Attachment, Equipment, LimitOutcome, Series, Vessel
from vessel.models.constraint import above_zero, named, not_below_zero, one_of, together
from vessel.models.versioned import Versioned


class Effect(models.TextChoices):
    NONE = "none", "none"
    DEGRADES = "degrades", "degrades"
    DISABLES = "disables", "disables"


class MendBy(models.TextChoices):
    NOW = "now", "now"
    NEXT_HARBOUR = "next harbour", "next harbour"
    HAUL_OUT = "haul-out", "haul-out"
    DATE = "date", "a date"


class Defect(Versioned):
    """One defect, DEF-n. `effect` or `equipment` NULL: nobody has said yet, which is never read as "none".

    `limit_text` is the stated limit under which the item still works; `tags` are short words (vibration, gas smell).
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="defects")
    number = models.PositiveIntegerField()
    title = models.CharField(max_length=200)
    description = models.TextField(blank=True)
    equipment = models.ForeignKey(Equipment, on_delete=models.PROTECT, null=True, blank=True, related_name="defects")
    effect = models.CharField(max_length=10, choices=Effect.choices, null=True, blank=True)
    limit_text = models.CharField("works within this limit", max_length=200, blank=True)
    tags = models.JSONField(default=list, blank=True)
    opened_at = models.DateTimeField()
    opened_by = models.CharField(max_length=40)
    cause_known = models.BooleanField(default=False)
    cause = models.CharField(max_length=400, blank=True)
    temporary_repair = models.CharField(max_length=400, blank=True)
    may_sail_if = models.CharField(max_length=400, blank=True)
    mend_by = models.CharField(max_length=12, choices=MendBy.choices, null=True, blank=True)
    mend_by_on = models.DateField(null=True, blank=True)
    mend_minutes = models.FloatField(null=True, blank=True)
    mend_parts_aboard = models.BooleanField(null=True, blank=True)
    check_every_h = models.FloatField("check every (engine hours)", null=True, blank=True)
    check_every_days = models.FloatField("check every (days)", null=True, blank=True)
    checked_at = models.DateTimeField(null=True, blank=True)
    checked_engine_hours = models.FloatField(null=True, blank=True)
    check_minutes = models.FloatField(null=True, blank=True)
    series = models.ForeignKey(Series, on_delete=models.SET_NULL, null=True, blank=True, related_name="defects")
    limit_outcome = models.CharField(max_length=9, choices=LimitOutcome.choices, null=True, blank=True)
    photos = models.ManyToManyField(Attachment, blank=True, related_name="defects")
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.CharField(max_length=40, null=True, blank=True)
    how_mended = models.TextField(null=True, blank=True)

    class Meta:
        ordering = ["vessel_id", "number"]
        indexes = [models.Index(fields=["vessel", "closed_at"], name="defect_open_first")]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "number"], name="defect_number_once_aboard"),
            named("defect", "title"),
            named("defect", "opened_by"),
            one_of("defect", "effect", Effect.values),
            one_of("defect", "mend_by", MendBy.values),
            one_of("defect", "limit_outcome", LimitOutcome.values),
            *above_zero("defect", "number", "check_every_h", "check_every_days"),
            *not_below_zero("defect", "mend_minutes", "check_minutes", "checked_engine_hours"),
            together("defect", "closed_at", "closed_by"),
            together("defect", "closed_at", "how_mended"),
            models.CheckConstraint(
                name="defect_date_to_mend_by_goes_with_the_choice",
                condition=Q(mend_by__isnull=False, mend_by="date", mend_by_on__isnull=False)
                | Q(mend_by_on__isnull=True) & (Q(mend_by__isnull=True) | ~Q(mend_by="date")),
            ),
            models.CheckConstraint(
                name="defect_closed_after_it_was_opened", condition=Q(closed_at__gte=models.F("opened_at"))
            ),
        ]

    @property
    def code(self) -> str:
        """DEF-n, as people say it."""
        return f"DEF-{self.number}"

    def __str__(self) -> str:
        return f"{self.code} {self.title}"
