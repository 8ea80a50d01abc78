"""Tidal stream tables: set and rate by the time from high water at a port, at neaps and at springs."""

from django.db import models
from django.db.models import F, Q

from readiness.models.tide_station import TideStation
from vessel.models import Vessel
from vessel.models.constraint import above_zero, named, not_below_zero, together, within
from vessel.models.versioned import Versioned


class StreamTable(Versioned):
    """One table; a steady stream has one row at high water and needs no tide station."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="stream_tables")
    key = models.SlugField(max_length=60)
    name = models.CharField(max_length=120)
    lat_deg = models.FloatField("latitude of the place observed", null=True, blank=True)
    lon_deg = models.FloatField("longitude of the place observed", null=True, blank=True)
    steady = models.BooleanField(default=False)
    tide_station = models.ForeignKey(
        TideStation, on_delete=models.PROTECT, null=True, blank=True, related_name="stream_tables"
    )
    neaps_range_m = models.FloatField(null=True, blank=True)
    springs_range_m = models.FloatField(null=True, blank=True)
    rates_held_beyond = models.BooleanField("rates held beyond neaps and springs", default=False)
    source = models.CharField("where this is from", max_length=200, blank=True)

    class Meta:
        ordering = ["vessel_id", "name"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "key"], name="stream_table_key_once"),
            named("stream_table", "key"),
            named("stream_table"),
            within("stream_table", "lat_deg", -90, 90),
            within("stream_table", "lon_deg", -180, 180),
            together("stream_table", "lat_deg", "lon_deg"),
            *above_zero("stream_table", "neaps_range_m", "springs_range_m"),
            models.CheckConstraint(
                name="stream_table_neaps_range_is_below_springs", condition=Q(neaps_range_m__lt=F("springs_range_m"))
            ),
            models.CheckConstraint(
                name="stream_table_is_steady_or_has_a_station",
                condition=Q(steady=True, tide_station__isnull=True) | Q(steady=False, tide_station__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class StreamRow(models.Model):
    """From `from_high_water_s` (before is negative) until the next row; the set is where the water goes, true."""

    table = models.ForeignKey(StreamTable, on_delete=models.CASCADE, related_name="rows")
    from_high_water_s = models.FloatField()
    set_deg = models.FloatField()
    rate_neaps_mps = models.FloatField()
    rate_springs_mps = models.FloatField()

    class Meta:
        ordering = ["table_id", "from_high_water_s"]
        constraints = [
            models.UniqueConstraint(fields=["table", "from_high_water_s"], name="stream_row_once"),
            within("stream_row", "from_high_water_s", -50400, 50400),
            within("stream_row", "set_deg", 0, 360),
            *not_below_zero("stream_row", "rate_neaps_mps", "rate_springs_mps"),
        ]

    def __str__(self) -> str:
        return f"{self.from_high_water_s / 3600:+.1f} h"
