"""Coastlines: land as polygons, and the area in which all land is drawn."""

from django.db import models
from django.db.models import F, Q

from vessel.models import Vessel
from vessel.models.constraint import above_zero, named, within
from vessel.models.versioned import Versioned


class Coastline(Versioned):
    """One coastline. Within its area what is not land is water; outside it nothing is known.

    `east_deg` runs on past 180 where the area lies across the date line.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="coastlines")
    key = models.SlugField(max_length=60)
    name = models.CharField(max_length=120)
    south_deg = models.FloatField()
    west_deg = models.FloatField()
    north_deg = models.FloatField()
    east_deg = models.FloatField()
    points = models.PositiveIntegerField("points of all polygons")
    taken_at = models.DateTimeField("taken in")
    source = models.CharField("where this is from", max_length=200, blank=True)

    class Meta:
        ordering = ["vessel_id", "key"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "key"], name="coastline_key_once"),
            named("coastline", "key"),
            named("coastline"),
            *above_zero("coastline", "points"),
            within("coastline", "south_deg", -85, 85),
            within("coastline", "north_deg", -85, 85),
            within("coastline", "west_deg", -180, 180),
            within("coastline", "east_deg", -180, 540),
            models.CheckConstraint(
                name="coastline_area_has_a_size",
                condition=Q(south_deg__lt=F("north_deg")) & Q(west_deg__lt=F("east_deg")),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class LandPolygon(models.Model):
    """One polygon as GeoJSON has it: rings of [longitude, latitude], the outer one first; and the box around it."""

    coastline = models.ForeignKey(Coastline, on_delete=models.CASCADE, related_name="polygons")
    number = models.PositiveIntegerField()
    south_deg = models.FloatField()
    west_deg = models.FloatField()
    north_deg = models.FloatField()
    east_deg = models.FloatField()
    rings = models.JSONField()

    class Meta:
        ordering = ["coastline_id", "number"]
        constraints = [
            models.UniqueConstraint(fields=["coastline", "number"], name="land_polygon_number_once"),
            *above_zero("land_polygon", "number"),
            models.CheckConstraint(
                name="land_polygon_box_is_the_right_way_round",
                condition=Q(south_deg__lte=F("north_deg")) & Q(west_deg__lte=F("east_deg")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} of {self.coastline_id}"
