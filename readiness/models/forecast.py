"""Forecasts taken in: every version is kept, the newest is used."""

from django.db import models

from readiness.models.closed_list import choices
from readiness.rules.words_of_trade import Confidence
from vessel.models import Vessel
from vessel.models.constraint import named, one_of, within


class Forecast(models.Model):
    """One forecast of one source. Never changed after it was taken in.

    `issued_at` NULL: the file does not say, so it has no age. `packed` holds the numbers
    (readiness.feeds.forecast.pack), `sha256` is their hash; the extents say which waters and times it covers.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="forecasts")
    source = models.CharField(max_length=200)
    issued_at = models.DateTimeField(null=True, blank=True)
    taken_in_at = models.DateTimeField()
    by = models.CharField(max_length=40)
    confidence = models.CharField(max_length=6, choices=choices(Confidence), null=True, blank=True)
    south_deg = models.FloatField()
    north_deg = models.FloatField()
    west_deg = models.FloatField()
    east_deg = models.FloatField(help_text="Runs on past 180 where the area crosses the date line.")
    first_at = models.DateTimeField()
    last_at = models.DateTimeField()
    members = models.PositiveSmallIntegerField("ensemble members", default=0)
    warnings = models.JSONField(default=list, blank=True)
    packed = models.BinaryField()
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ["vessel_id", "-issued_at", "-taken_in_at"]
        indexes = [models.Index(fields=["vessel", "-issued_at", "-taken_in_at"], name="forecast_newest_first")]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "source", "issued_at", "sha256"], name="forecast_once"),
            models.UniqueConstraint(
                fields=["vessel", "source", "sha256"],
                name="forecast_without_issue_time_once",
                condition=models.Q(issued_at__isnull=True),
            ),
            named("forecast", "source"),
            named("forecast", "by"),
            one_of("forecast", "confidence", [word.value for word in Confidence]),
            within("forecast", "south_deg", -90, 90),
            within("forecast", "north_deg", -90, 90),
            within("forecast", "west_deg", -360, 360),
            within("forecast", "east_deg", -360, 720),
            models.CheckConstraint(
                name="forecast_south_is_not_north_of_north",
                condition=models.Q(south_deg__lte=models.F("north_deg")),
            ),
            models.CheckConstraint(
                name="forecast_first_is_not_after_last", condition=models.Q(first_at__lte=models.F("last_at"))
            ),
            models.CheckConstraint(
                name="forecast_hash_is_64_hex_digits", condition=models.Q(sha256__regex=r"^[0-9a-f]{64}$")
            ),
        ]

    def __str__(self) -> str:
        return self.source
