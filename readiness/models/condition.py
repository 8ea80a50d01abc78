"""Conditions of a "go if" that somebody says are met, with name and time."""

from django.db import models
from django.db.models import Q

from readiness.models.leg import Leg
from vessel.models.constraint import named


class ConditionMet(models.Model):
    """A condition met for one departure of the leg. `cause` is "kind:key" of the cause. Struck out, never edited."""

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="conditions_met")
    rule = models.CharField(max_length=60)
    cause = models.CharField(max_length=160)
    at = models.DateTimeField()
    by = models.CharField(max_length=40)
    departure_at = models.DateTimeField()
    note = models.CharField(max_length=400, blank=True)
    struck_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["leg_id", "at"]
        verbose_name_plural = "conditions met"
        constraints = [
            models.UniqueConstraint(
                fields=["leg", "rule", "cause", "departure_at"],
                name="condition_met_once",
                condition=Q(struck_at__isnull=True),
            ),
            named("condition_met", "rule"),
            named("condition_met", "by"),
        ]

    def __str__(self) -> str:
        return f"{self.rule} {self.cause}"
