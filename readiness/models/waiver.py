"""Findings the skipper takes on himself in writing; each lapses when its figure, its day or the leg changes."""

from django.db import models
from django.db.models import Q

from readiness.models.leg import Leg
from vessel.models.constraint import above_zero, named
from vessel.models.versioned import Versioned


class Waiver(Versioned):
    """One finding waived. `cause` is "kind:key" of the cause. `told`, `crew`: tokens of people.

    `value`, `limit`, `lapses_at_value` in the rule's own unit, NULL where it has none. `until` empty: this leg only;
    then it lapses when the departure or the distance moves too far from the ones kept here, or the crew changes.
    """

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="waivers")
    rule = models.CharField(max_length=60)
    cause = models.CharField(max_length=160)
    engine_version = models.CharField(max_length=40)
    at = models.DateTimeField()
    by = models.CharField(max_length=40)
    reason = models.TextField()
    instead = models.TextField("what is done instead")
    told = models.JSONField(default=list, blank=True)
    value = models.FloatField(null=True, blank=True)
    limit = models.FloatField(null=True, blank=True)
    lapses_at_value = models.FloatField(null=True, blank=True)
    until = models.DateTimeField(null=True, blank=True)
    departure_at = models.DateTimeField()
    leg_distance_m = models.FloatField()
    crew = models.JSONField(default=list, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["leg_id", "at"]
        constraints = [
            models.UniqueConstraint(
                fields=["leg", "rule", "cause"], name="waiver_once", condition=Q(withdrawn_at__isnull=True)
            ),
            named("waiver", "rule"),
            named("waiver", "by"),
            named("waiver", "reason"),
            named("waiver", "instead"),
            *above_zero("waiver", "leg_distance_m"),
            models.CheckConstraint(name="waiver_ends_after_it_was_given", condition=Q(until__gt=models.F("at"))),
        ]

    def __str__(self) -> str:
        return f"{self.rule} {self.cause}"
