"""Tide stations: constants published or fitted, a printed table of high and low waters, or a secondary port."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from readiness.rules.tide_differences import port_of
from vessel.models import Vessel
from vessel.models.constraint import in_order, named, one_of
from vessel.models.versioned import Versioned


class TideStationKind(models.TextChoices):
    HARMONIC = "harmonic constants", "harmonic constants"
    TABLE = "printed table", "printed table"
    SECONDARY = "secondary port", "secondary port"
    FITTED = "fitted", "fitted from observations"


HAVE_CONSTANTS = (TideStationKind.HARMONIC, TideStationKind.FITTED)


class TideStation(Versioned):
    """One station as this boat keeps it. Heights are in metres above `datum`, times in UTC.

    `levels` holds heights others are given above, {"mean high water springs": metres}; the figures hold from
    `valid_from` to `valid_to`, NULL where nobody set an end. `constants` is a list of {name,
    amplitude_m, phase_utc_deg, speed_deg_per_h} (a speed of null: as published).
    A printed table keeps its high and low waters as TideEvent rows. `differences` of a secondary port, on its
    `reference`, has one of the shapes of `readiness.rules.tide_differences`. `differences_applied` of a printed table
    NULL: nobody said whether they are in its figures. `fit` of a fitted station: what the fit left over, in the shape
    of `readiness.feeds.tide_fit_notes`.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="tide_stations")
    key = models.SlugField(max_length=60)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=20, choices=TideStationKind.choices)
    datum = models.CharField(max_length=80, null=True, blank=True)
    source = models.CharField(max_length=400, blank=True)
    mean_level_m = models.FloatField("mean level above datum (m)", null=True, blank=True)
    levels = models.JSONField(default=dict, blank=True)
    valid_from = models.DateTimeField(null=True, blank=True)
    valid_to = models.DateTimeField(null=True, blank=True)
    constants = models.JSONField(default=list, blank=True)
    reference = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="secondary_ports"
    )
    differences = models.JSONField(null=True, blank=True)
    differences_applied = models.BooleanField(null=True, blank=True)
    fit = models.JSONField("what the fit left over", null=True, blank=True)

    class Meta:
        ordering = ["vessel_id", "name"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "key"], name="tide_station_key_once"),
            named("tide_station", "key"),
            named("tide_station"),
            one_of("tide_station", "kind", TideStationKind.values),
            in_order("tide_station", "valid_from", "valid_to"),
            models.CheckConstraint(
                name="tide_station_secondary_has_reference_and_differences",
                condition=Q(kind="secondary port", reference__isnull=False, differences__isnull=False)
                | (~Q(kind="secondary port") & Q(reference__isnull=True, differences__isnull=True)),
            ),
            models.CheckConstraint(
                name="tide_station_fitted_says_what_the_fit_left_over",
                condition=Q(kind="fitted", fit__isnull=False) | (~Q(kind="fitted") & Q(fit__isnull=True)),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        """What no constraint of the database can say: the shape of the differences, and whose they are."""
        if self.kind != TideStationKind.SECONDARY or self.reference is None or self.differences is None:
            return
        if self.reference.kind == TideStationKind.SECONDARY:
            raise ValidationError(
                f"{self.reference} is a secondary port itself; take the port it hangs on as the reference"
            )
        try:
            port_of(self.differences)
        except ValueError as reason:
            raise ValidationError(str(reason).rstrip(".")) from reason


class TideEvent(models.Model):
    """One high or low water of a printed table."""

    station = models.ForeignKey(TideStation, on_delete=models.CASCADE, related_name="events")
    at = models.DateTimeField()
    height_m = models.FloatField()
    high = models.BooleanField()

    class Meta:
        ordering = ["station_id", "at"]
        constraints = [models.UniqueConstraint(fields=["station", "at"], name="tide_event_once")]

    def __str__(self) -> str:
        return f"{'high' if self.high else 'low'} water {self.at:%Y-%m-%dT%H:%MZ}"
