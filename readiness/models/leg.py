"""Legs: one departure to one arrival, the way between, who sails, who ashore has the plan, and how it went."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from readiness.models.closed_list import choices
from readiness.models.gate import Gate
from readiness.models.harbour import Harbour
from readiness.models.tidal_stream import StreamTable
from readiness.models.tide_station import TideStation
from readiness.rules.words_of_trade import LandOnWay, StreamBy, TrackKind
from vessel.models import Person, Vessel
from vessel.models.constraint import above_zero, in_order, named, not_below_zero, one_of, within
from vessel.models.versioned import Versioned


class LegStatus(models.TextChoices):
    PLANNED = "planned", "planned"
    UNDER_WAY = "under way", "under way"
    ARRIVED = "arrived", "arrived"
    TURNED_BACK = "turned back", "turned back"
    CALLED_OFF = "called off", "called off"


# A leg with one of these is judged again and again; the others are over.
COMING = (LegStatus.PLANNED,)
ENDED = (LegStatus.ARRIVED, LegStatus.TURNED_BACK, LegStatus.CALLED_OFF)


class Leg(Versioned):
    """One leg. NULL means not known. `running_on_s`: further running before fuel can be bought.

    `contact_details` is private: it goes neither into facts nor into history or handover.
    """

    private_columns: ClassVar[frozenset[str]] = frozenset({"contact_name", "contact_details"})

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="legs")
    key = models.SlugField(max_length=80)
    name = models.CharField(max_length=160)
    status = models.CharField(max_length=12, choices=LegStatus.choices, default=LegStatus.PLANNED)
    planned_at = models.DateTimeField("planned departure")
    departure = models.ForeignKey(Harbour, on_delete=models.PROTECT, related_name="departing_legs")
    arrival = models.ForeignKey(Harbour, on_delete=models.PROTECT, related_name="arriving_legs")
    harbour_move = models.BooleanField("no part outside harbour limits", default=False)
    speed_mps = models.FloatField("speed through the water (m/s)", null=True, blank=True)
    running_on_s = models.FloatField(null=True, blank=True)
    watch_plan_counts_autopilot = models.BooleanField(null=True, blank=True)
    refuges = models.ManyToManyField(Harbour, blank=True, related_name="refuge_of")
    crew = models.ManyToManyField(Person, blank=True, through="LegCrew", related_name="legs")
    contact_name = models.CharField("shore contact", max_length=80, blank=True)
    contact_details = models.CharField("how to reach the contact (private)", max_length=200, blank=True)
    contact_told_at = models.DateTimeField(null=True, blank=True)
    contact_acknowledged = models.BooleanField(null=True, blank=True)
    overdue_at = models.DateTimeField(null=True, blank=True)
    departed_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField("arrived, turned back or called off", null=True, blank=True)
    outcome = models.TextField("how it went", blank=True)

    class Meta:
        ordering = ["vessel_id", "planned_at"]
        indexes = [models.Index(fields=["vessel", "status", "planned_at"], name="leg_coming_first")]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "key"], name="leg_key_once"),
            named("leg", "key"),
            named("leg"),
            one_of("leg", "status", LegStatus.values),
            *above_zero("leg", "speed_mps"),
            *not_below_zero("leg", "running_on_s"),
            in_order("leg", "planned_at", "overdue_at"),
            in_order("leg", "departed_at", "ended_at"),
            models.CheckConstraint(
                name="leg_under_way_has_departed",
                condition=~Q(status__in=["under way", "arrived", "turned back"]) | Q(departed_at__isnull=False),
            ),
            models.CheckConstraint(
                name="leg_is_over_exactly_when_it_has_ended",
                condition=Q(status__in=ENDED, ended_at__isnull=False)
                | (~Q(status__in=ENDED) & Q(ended_at__isnull=True)),
            ),
            models.CheckConstraint(
                name="leg_planned_has_not_departed", condition=~Q(status="planned") | Q(departed_at__isnull=True)
            ),
            models.CheckConstraint(
                name="leg_contact_told_is_a_named_person",
                condition=Q(contact_told_at__isnull=True) | ~Q(contact_name=""),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class LegPoint(models.Model):
    """A point of the leg, number 1 upward. `depth_matters` false: deep by the chart; NULL counts as true."""

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="points")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120)
    lat_deg = models.FloatField()
    lon_deg = models.FloatField()
    charted_m = models.FloatField(null=True, blank=True)
    depth_matters = models.BooleanField(null=True, blank=True)
    tide_station = models.ForeignKey(
        TideStation, on_delete=models.PROTECT, null=True, blank=True, related_name="leg_points"
    )
    gate = models.ForeignKey(Gate, on_delete=models.PROTECT, null=True, blank=True, related_name="leg_points")

    class Meta:
        ordering = ["leg_id", "number"]
        constraints = [
            models.UniqueConstraint(fields=["leg", "number"], name="leg_point_number_once"),
            named("leg_point"),
            *above_zero("leg_point", "number"),
            within("leg_point", "lat_deg", -90, 90),
            within("leg_point", "lon_deg", -180, 180),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"


class LegSegment(models.Model):
    """From the point of the same number to the next. NULL `exposed` counts as exposed; no stream table: not known.

    `stream_by` other than a named table: the tables near each step stand in the place of `stream_table`.
    `shore_m`, `shore_to_deg`: how far off the nearest shore lies, and which way. `land`: what the coastline said of the
    line when it was last looked at.
    """

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="segments")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=160)
    kind = models.CharField(max_length=12, choices=choices(TrackKind), default=TrackKind.RHUMB.value)
    exposed = models.BooleanField(null=True, blank=True)
    crosses_bar = models.BooleanField(null=True, blank=True)
    stream_by = models.CharField(max_length=14, choices=choices(StreamBy), default=StreamBy.NAMED.value)
    stream_table = models.ForeignKey(
        StreamTable, on_delete=models.PROTECT, null=True, blank=True, related_name="leg_segments"
    )
    shore_m = models.FloatField(null=True, blank=True)
    shore_to_deg = models.FloatField(null=True, blank=True)
    land = models.CharField(max_length=12, choices=choices(LandOnWay), default=LandOnWay.NOT_LOOKED.value)

    class Meta:
        ordering = ["leg_id", "number"]
        constraints = [
            models.UniqueConstraint(fields=["leg", "number"], name="leg_segment_number_once"),
            named("leg_segment"),
            *above_zero("leg_segment", "number"),
            one_of("leg_segment", "kind", [kind.value for kind in TrackKind]),
            one_of("leg_segment", "stream_by", [way.value for way in StreamBy]),
            one_of("leg_segment", "land", [word.value for word in LandOnWay]),
            *not_below_zero("leg_segment", "shore_m"),
            within("leg_segment", "shore_to_deg", 0, 360),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"


class LegCrew(models.Model):
    """One person who is to sail the leg; one of them is her skipper for it."""

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="crew_rows")
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="leg_rows")
    skipper = models.BooleanField(default=False)

    class Meta:
        ordering = ["leg_id", "-skipper", "pk"]
        verbose_name_plural = "leg crew"
        constraints = [
            models.UniqueConstraint(fields=["leg", "person"], name="leg_crew_person_once"),
            models.UniqueConstraint(fields=["leg"], name="leg_crew_one_skipper", condition=Q(skipper=True)),
        ]

    def __str__(self) -> str:
        return f"{self.person_id} in {self.leg_id}"


class KeeperPromise(Versioned):
    """What the keeper of a gate said for one leg: help with lines promised or refused; NULL: asked, not answered."""

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="keeper_promises")
    gate = models.ForeignKey(Gate, on_delete=models.CASCADE, related_name="keeper_promises")
    confirmed = models.BooleanField(null=True, blank=True)
    keeper = models.CharField("name of the keeper", max_length=80, blank=True)
    at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["leg", "gate"], name="keeper_promise_once"),
            models.CheckConstraint(
                name="keeper_promise_answer_carries_its_time", condition=Q(confirmed__isnull=True) | Q(at__isnull=False)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.gate_id} for {self.leg_id}"


class PositionReport(models.Model):
    """Where she said she was while under way."""

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="position_reports")
    at = models.DateTimeField()
    lat_deg = models.FloatField()
    lon_deg = models.FloatField()
    text = models.CharField(max_length=400, blank=True)
    by = models.CharField(max_length=40)

    class Meta:
        ordering = ["leg_id", "at"]
        constraints = [
            models.UniqueConstraint(fields=["leg", "at"], name="position_report_once"),
            named("position_report", "by"),
            within("position_report", "lat_deg", -90, 90),
            within("position_report", "lon_deg", -180, 180),
        ]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%dT%H:%MZ}"
