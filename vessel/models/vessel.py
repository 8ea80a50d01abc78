"""The vessel: her particulars, as measured and with what is not known left empty."""

from django.db import models

from vessel.models.constraint import above_zero, named, one_of, within
from vessel.models.versioned import Versioned


class HullMaterial(models.TextChoices):
    STEEL = "steel", "steel"
    ALUMINIUM = "aluminium", "aluminium"
    WOOD = "wood", "wood"
    PLASTIC = "plastic", "glass-reinforced plastic"
    CEMENT = "cement", "ferro-cement"


class Vessel(Versioned):
    """One boat. NULL means not known; `home_zone` is a name of the time zone database."""

    name = models.CharField(max_length=80)
    builders_number = models.CharField(max_length=80, blank=True)
    register_number = models.CharField(max_length=80, blank=True)
    built_year = models.PositiveSmallIntegerField(null=True, blank=True)
    home_port = models.CharField(max_length=80, blank=True)
    home_zone = models.CharField(max_length=64, default="UTC")
    currency = models.CharField("money counted in (ISO 4217)", max_length=3, blank=True)
    hull_material = models.CharField(max_length=10, choices=HullMaterial.choices, null=True, blank=True)
    loa_m = models.FloatField("length overall (m)", null=True, blank=True)
    lwl_m = models.FloatField("waterline length (m)", null=True, blank=True)
    beam_m = models.FloatField("beam (m)", null=True, blank=True)
    draught_m = models.FloatField("draught (m)", null=True, blank=True)
    draught_measured_on = models.DateField(null=True, blank=True)
    draught_load = models.CharField("load at which the draught was measured", max_length=200, blank=True)
    air_draught_m = models.FloatField("air draught, all up (m)", null=True, blank=True)
    air_draught_folded_m = models.FloatField("air draught, mast and aerials folded (m)", null=True, blank=True)
    displacement_t = models.FloatField("displacement (t)", null=True, blank=True)
    max_persons = models.PositiveSmallIntegerField(null=True, blank=True)
    min_crew = models.PositiveSmallIntegerField(default=2)
    next_haul_out_on = models.DateField(null=True, blank=True)
    cruise_rpm = models.PositiveIntegerField(null=True, blank=True)
    coolant_book_c = models.FloatField("coolant temperature by the maker's book (degC)", null=True, blank=True)
    visual_distress_required = models.BooleanField("flag asks for visual distress signals", null=True, blank=True)
    slip_s = models.PositiveIntegerField("late start allowed for (s)", default=900)
    speed_factor_late = models.FloatField(default=0.90)
    speed_factor_early = models.FloatField(default=1.05)

    class Meta:
        constraints = [
            named("vessel"),
            models.CheckConstraint(
                name="vessel_currency_is_three_capitals", condition=models.Q(currency__regex=r"^([A-Z]{3})?$")
            ),
            one_of("vessel", "hull_material", HullMaterial.values),
            *above_zero("vessel", "loa_m", "lwl_m", "beam_m", "draught_m", "air_draught_m", "air_draught_folded_m"),
            *above_zero("vessel", "displacement_t", "max_persons", "min_crew", "cruise_rpm"),
            within("vessel", "speed_factor_late", 0.5, 1.0),
            within("vessel", "speed_factor_early", 1.0, 1.5),
            models.CheckConstraint(
                name="vessel_waterline_is_not_longer_than_she_is",
                condition=models.Q(lwl_m__lte=models.F("loa_m")),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class SpeedPoint(Versioned):
    """Speed through still water and fuel burnt at one engine speed, loaded, clean hull unless the note says else."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="speed_points")
    rpm = models.PositiveIntegerField()
    speed_mps = models.FloatField()
    burn_l_per_h = models.FloatField(null=True, blank=True)
    measured_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["vessel_id", "rpm"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "rpm"], name="speed_point_once_for_each_rpm"),
            *above_zero("speed_point", "rpm", "speed_mps", "burn_l_per_h"),
        ]

    def __str__(self) -> str:
        return f"{self.rpm} rpm"


class SeaSpeed(Versioned):
    """Share of her speed that she keeps in a sea of this height, as measured, taken ahead, abeam and astern."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="sea_speeds")
    height_m = models.FloatField()
    ahead = models.FloatField()
    abeam = models.FloatField()
    astern = models.FloatField()

    class Meta:
        ordering = ["vessel_id", "height_m"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "height_m"], name="sea_speed_once_for_each_height"),
            *above_zero("sea_speed", "height_m", "ahead", "abeam", "astern"),
            within("sea_speed", "ahead", 0, 1),
            within("sea_speed", "abeam", 0, 1),
            within("sea_speed", "astern", 0, 1),
        ]

    def __str__(self) -> str:
        return f"{self.height_m:g} m"


class Chart(Versioned):
    """A chart or chart folio carried: the box it covers, its edition and the date it was corrected to."""

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="charts")
    name = models.CharField(max_length=120)
    edition = models.CharField(max_length=80, blank=True)
    corrected_on = models.DateField(null=True, blank=True)
    south_deg = models.FloatField()
    north_deg = models.FloatField()
    west_deg = models.FloatField()
    east_deg = models.FloatField(help_text="Smaller than the western edge where the chart crosses 180 degrees.")

    class Meta:
        constraints = [
            named("chart"),
            within("chart", "south_deg", -90, 90),
            within("chart", "north_deg", -90, 90),
            within("chart", "west_deg", -180, 180),
            within("chart", "east_deg", -180, 180),
            models.CheckConstraint(
                name="chart_south_is_south_of_north", condition=models.Q(south_deg__lt=models.F("north_deg"))
            ),
        ]

    def __str__(self) -> str:
        return self.name
