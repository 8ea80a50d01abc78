"""Harbours, anchorages and quays, with the winds they shelter from."""

from django.db import models

from readiness.models.tide_station import TideStation
from vessel.models import Vessel
from vessel.models.constraint import named, not_below_zero, within
from vessel.models.versioned import Versioned


class Harbour(Versioned):
    """One place to start from, end at or run to. NULL means not known.

    `charted_m`: depth below chart datum at the berth, drying negative. `familiar`: the skipper has been in before.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="harbours")
    key = models.SlugField(max_length=60)
    name = models.CharField(max_length=120)
    zone = models.CharField("time zone", max_length=64)
    lat_deg = models.FloatField()
    lon_deg = models.FloatField()
    charted_m = models.FloatField(null=True, blank=True)
    tide_station = models.ForeignKey(
        TideStation, on_delete=models.PROTECT, null=True, blank=True, related_name="harbours"
    )
    familiar = models.BooleanField(null=True, blank=True)
    lit = models.BooleanField(null=True, blank=True)
    night_price = models.DecimalField(
        "price of a night for this vessel", max_digits=8, decimal_places=2, null=True, blank=True
    )
    source = models.CharField("where this is from", max_length=200, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["vessel_id", "name"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "key"], name="harbour_key_once"),
            named("harbour", "key"),
            named("harbour"),
            named("harbour", "zone"),
            *not_below_zero("harbour", "night_price"),
            within("harbour", "lat_deg", -90, 90),
            within("harbour", "lon_deg", -180, 180),
        ]

    def __str__(self) -> str:
        return self.name


class ShelterSector(models.Model):
    """Winds from `from_deg` clockwise through `to_deg` find shelter here; 0 to 360 is all round."""

    harbour = models.ForeignKey(Harbour, on_delete=models.CASCADE, related_name="shelter_sectors")
    from_deg = models.FloatField()
    to_deg = models.FloatField()

    class Meta:
        ordering = ["harbour_id", "from_deg", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["harbour", "from_deg", "to_deg"], name="shelter_sector_once"),
            within("shelter_sector", "from_deg", 0, 360),
            within("shelter_sector", "to_deg", 0, 360),
        ]

    def __str__(self) -> str:
        return f"{self.from_deg:g} to {self.to_deg:g}"
