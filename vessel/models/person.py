"""People who sail in her: what they can do, when they are aboard, how rested they are.

Names, notes and rest stay in these tables: history and handover know a person by token only.
"""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from vessel.models.constraint import in_order, named, one_of, within
from vessel.models.safety_equipment import JacketSize
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class Fitness(models.TextChoices):
    YES = "yes", "fit"
    LIMITS = "limits", "fit with limits"
    NO = "no", "not fit"


class Person(Versioned):
    """One person. `fit` NULL: not asked. A competence that is not ticked is not counted."""

    private_columns = frozenset({"name", "fit", "fit_note", "user", "jacket_size"})

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="people")
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="persons"
    )
    name = models.CharField(max_length=80)
    token = models.CharField("how history calls this person", max_length=40)
    is_skipper = models.BooleanField(default=False)
    can_helm = models.BooleanField(default=False)
    can_night = models.BooleanField("competent at night", default=False)
    can_lead = models.BooleanField("may lead a watch", default=False)
    can_lines = models.BooleanField("handles lines", default=False)
    can_engine = models.BooleanField("knows the engine", default=False)
    can_radio = models.BooleanField("radio operator", default=False)
    can_first_aid = models.BooleanField("first aid", default=False)
    fit = models.CharField(max_length=6, choices=Fitness.choices, null=True, blank=True)
    fit_note = models.TextField("private note", blank=True)
    jacket_size = models.CharField(max_length=6, choices=JacketSize.choices, default=JacketSize.ADULT)
    briefed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["vessel_id", "pk"]
        verbose_name_plural = "people"
        constraints = [
            models.UniqueConstraint(fields=["vessel", "token"], name="person_token_once_aboard"),
            models.UniqueConstraint(
                fields=["vessel", "user"], name="person_once_for_each_account", condition=Q(user__isnull=False)
            ),
            named("person"),
            named("person", "token"),
            one_of("person", "fit", Fitness.values),
            one_of("person", "jacket_size", JacketSize.values),
        ]

    def __str__(self) -> str:
        return self.name


class Answer(models.TextChoices):
    YES = "yes", "confirmed"
    NO = "no", "cannot come"
    NOT_KNOWN = "not_known", "not known"


class Availability(Versioned):
    """One stay aboard, [from, until). An answer carries the time it was given."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="availabilities")
    aboard_from = models.DateTimeField()
    aboard_until = models.DateTimeField()
    must_leave_at = models.DateTimeField(null=True, blank=True)
    free_to_stay = models.BooleanField("has nothing to catch", default=False)
    answer = models.CharField(max_length=9, choices=Answer.choices, default=Answer.NOT_KNOWN)
    confirmed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["person_id", "aboard_from"]
        verbose_name_plural = "availabilities"
        constraints = [
            in_order("availability", "aboard_from", "aboard_until"),
            one_of("availability", "answer", Answer.values),
            models.CheckConstraint(
                name="availability_free_to_stay_has_no_time_to_leave",
                condition=Q(free_to_stay=False) | Q(must_leave_at__isnull=True),
            ),
            models.CheckConstraint(
                name="availability_answer_carries_its_time",
                condition=Q(answer="not_known", confirmed_at__isnull=True)
                | (~Q(answer="not_known") & Q(confirmed_at__isnull=False)),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.aboard_from:%d %b %H:%M}"


class Rest(Versioned):
    """Rest and other work of one person as told for the time up to `at`, in hours."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="rests")
    at = models.DateTimeField()
    rest_24_h = models.FloatField("rest in the last 24 hours (h)")
    longest_unbroken_h = models.FloatField("longest unbroken part (h)")
    rest_7_days_h = models.FloatField("rest in the last 7 days (h)", null=True, blank=True)
    other_work_h = models.FloatField("other work on the day (h)", null=True, blank=True)
    by = models.CharField(max_length=40)

    class Meta:
        ordering = ["person_id", "-at"]
        constraints = [
            within("rest", "rest_24_h", 0, 24),
            within("rest", "longest_unbroken_h", 0, 24),
            within("rest", "rest_7_days_h", 0, 168),
            within("rest", "other_work_h", 0, 24),
            named("rest", "by"),
            models.CheckConstraint(
                name="rest_unbroken_part_is_not_more_than_all", condition=Q(longest_unbroken_h__lte=F("rest_24_h"))
            ),
        ]

    def __str__(self) -> str:
        return f"{self.rest_24_h:g} h"
