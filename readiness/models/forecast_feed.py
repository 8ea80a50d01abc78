"""Addresses from which forecasts are fetched by themselves, and how the last try went."""

from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from vessel.models import Vessel
from vessel.models.constraint import named, one_of, within
from vessel.models.versioned import Versioned
from vessel.units import DAY, HOUR


class FeedKind(models.TextChoices):
    GRIB = "GRIB", "GRIB"
    TABLE = "CSV", "table (CSV)"


class ForecastFeed(Versioned):
    """One address, asked every so often. What came last is kept whatever becomes of the next try.

    The columns from `last_tried_at` on are written by the fetching only: `last_sent_at` is when the server last sent
    a forecast that could be read, `last_good_at` when it did so or said that the one held is still the newest.
    """

    private_columns: ClassVar[frozenset[str]] = frozenset({"address"})  # it may hold a key of the owner's

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="forecast_feeds")
    name = models.CharField(max_length=80)
    address = models.CharField(max_length=2000)
    kind = models.CharField(max_length=4, choices=FeedKind.choices)
    every_s = models.PositiveIntegerField(default=6 * int(HOUR))
    enabled = models.BooleanField(default=True)
    last_tried_at = models.DateTimeField(null=True, blank=True, editable=False)
    last_sent_at = models.DateTimeField(null=True, blank=True, editable=False)
    last_good_at = models.DateTimeField(null=True, blank=True, editable=False)
    last_error = models.CharField(max_length=500, blank=True, editable=False)
    last_doubt = models.CharField(max_length=500, blank=True, editable=False)
    etag = models.CharField(max_length=200, blank=True, editable=False)
    modified = models.CharField(max_length=200, blank=True, editable=False)

    class Meta:
        ordering = ["vessel_id", "name"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "name"], name="forecast_feed_name_once"),
            named("forecast_feed"),
            one_of("forecast_feed", "kind", FeedKind.values),
            within("forecast_feed", "every_s", HOUR, 7 * DAY),
            models.CheckConstraint(name="forecast_feed_address_is_https", condition=Q(address__startswith="https://")),
            models.CheckConstraint(
                name="forecast_feed_good_is_not_after_tried",
                condition=Q(last_good_at__isnull=True) | Q(last_tried_at__gte=F("last_good_at")),
            ),
        ]

    def __str__(self) -> str:
        return self.name
