"""The ship's log: what was done, seen and checked, with the time and the hour meter."""

from django.db import models

from vessel.models.constraint import named, not_below_zero, one_of, together
from vessel.models.vessel import Vessel


class LogKind(models.TextChoices):
    ENGINE_HOURS = "engine_hours", "engine hours"
    COLD_START = "cold_start", "cold start"
    RAW_WATER_SEEN = "raw_water_seen", "cooling water seen overboard"
    HELM_CHECK = "helm_check", "helm watched at the rudder"
    SECOND_START = "second_start", "second way to start proved"
    LIGHTS_CHECK = "lights_check", "lights checked"
    RADIO_CHECK = "radio_check", "radio check"
    NOTICES_READ = "notices_read", "local notices read"
    FUEL_DRAINED = "fuel_drained", "water drained from fuel"
    DEVIATION_CHECKED = "deviation_checked", "compass deviation checked"
    RECOVERY_DRILL = "recovery_drill", "recovery drill"
    TILLER_DRILL = "tiller_drill", "emergency tiller drill"
    AUTOPILOT_AT_SEA = "autopilot_at_sea", "autopilot run at sea"
    BILGE_LOOK = "bilge_look", "bilge looked at"
    REFUELLED = "refuelled", "refuelled"
    PASSAGE = "passage", "passage"
    HAULED_OUT = "hauled_out", "hauled out"
    LAUNCHED = "launched", "launched"
    NOTE = "note", "note"


# Free text that tells of people and whereabouts: it stays out of the chain and out of a handover.
PRIVATE_KINDS = (LogKind.PASSAGE, LogKind.NOTE)


class LogEntry(models.Model):
    """One entry. Never edited: a wrong one is struck out (it stays readable) and a new one written.

    `values` holds what the kind asks for, SI with the unit in the name: lowest_v and alone (cold start), ran_h
    (autopilot), found_l (fuel drained), seconds (drill), distance_m and hours_h (passage), litres_l (refuelled).
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="log_entries")
    at = models.DateTimeField()
    kind = models.CharField(max_length=20, choices=LogKind.choices)
    text = models.TextField(blank=True)
    engine_hours = models.FloatField(null=True, blank=True)
    values = models.JSONField(default=dict, blank=True)
    by = models.CharField(max_length=40)
    entered_at = models.DateTimeField()
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.CharField(max_length=40, null=True, blank=True)

    class Meta:
        ordering = ["vessel_id", "at", "pk"]
        verbose_name_plural = "log entries"
        indexes = [
            models.Index(fields=["vessel", "kind", "-at"], name="log_entry_newest_of_a_kind"),
            models.Index(fields=["vessel", "-at"], name="log_entry_newest_first"),
        ]
        constraints = [
            one_of("log_entry", "kind", LogKind.values),
            named("log_entry", "by"),
            *not_below_zero("log_entry", "engine_hours"),
            together("log_entry", "struck_at", "struck_by"),
        ]

    def __str__(self) -> str:
        return self.get_kind_display()
