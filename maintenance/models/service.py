"""The service plan: what is due by hours, by months or by whichever runs out first, and when it was done."""

from django.db import models
from django.db.models import Q

from vessel.models import DatePrecision, Equipment, Vessel
from vessel.models.constraint import above_zero, named, not_below_zero, one_of, within
from vessel.models.versioned import Versioned


class ServiceItem(Versioned):
    """One line of the plan. Both intervals empty: on condition, when what it looks after says so."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="service_items")
    code = models.CharField(max_length=12)
    item = models.CharField(max_length=200)
    equipment = models.ForeignKey(Equipment, on_delete=models.CASCADE, related_name="service_items")
    every_hours = models.FloatField(null=True, blank=True)
    every_months = models.PositiveSmallIntegerField(null=True, blank=True)
    tolerance_pct = models.FloatField(null=True, blank=True)
    consumables = models.CharField(max_length=200, blank=True)
    access_set = models.CharField(max_length=40, blank=True)
    where = models.CharField(max_length=40, blank=True)
    engine_state = models.CharField(max_length=10, blank=True)
    minutes = models.FloatField(null=True, blank=True)
    skill = models.CharField(max_length=40, blank=True)
    source = models.CharField("where the interval comes from", max_length=120, blank=True)

    class Meta:
        ordering = ["vessel_id", "code"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "code"], name="service_item_code_once_aboard"),
            named("service_item", "code"),
            named("service_item", "item"),
            *above_zero("service_item", "every_hours", "every_months"),
            *not_below_zero("service_item", "minutes"),
            within("service_item", "tolerance_pct", 0, 100),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.item}"


class ServiceDone(models.Model):
    """A service done: the day (or only the month) and the hour meter, either of which may be not known."""

    service_item = models.ForeignKey(ServiceItem, on_delete=models.CASCADE, related_name="done")
    on = models.DateField(null=True, blank=True)
    on_precision = models.CharField(max_length=5, choices=DatePrecision.choices, default=DatePrecision.DAY)
    engine_hours = models.FloatField(null=True, blank=True)
    by = models.CharField(max_length=40)
    note = models.TextField(blank=True)
    entered_at = models.DateTimeField()

    class Meta:
        ordering = ["service_item_id", "-on", "-pk"]
        verbose_name_plural = "services done"
        indexes = [models.Index(fields=["service_item", "-on"], name="service_done_newest_first")]
        constraints = [
            one_of("service_done", "on_precision", DatePrecision.values),
            named("service_done", "by"),
            *not_below_zero("service_done", "engine_hours"),
            models.CheckConstraint(
                name="service_done_says_when", condition=Q(on__isnull=False) | Q(engine_hours__isnull=False)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.on}"
