"""Work to be done on her: what it takes out of service, what it opens, how it is proved, what it needs."""

from django.db import models
from django.db.models import F, Q

from maintenance.models.defect import Defect
from vessel.models import Attachment, Equipment, ProofPlace, Vessel
from vessel.models.constraint import above_zero, named, not_below_zero, one_of, together
from vessel.models.versioned import Versioned


class JobStatus(models.TextChoices):
    IDEA = "idea", "idea"
    PLANNED = "planned", "planned"
    PARTS_WAITING = "parts waiting", "parts waiting"
    READY = "ready", "ready"
    IN_HAND = "in hand", "in hand"
    DONE_UNTESTED = "done but not tested", "done but not tested"
    PROVED = "proved", "proved"
    DROPPED = "dropped", "dropped"


ENDED = (JobStatus.PROVED, JobStatus.DROPPED)
DONE = (JobStatus.DONE_UNTESTED, JobStatus.PROVED)


class Opens(models.TextChoices):
    HULL = "hull", "hull"
    SEA_VALVE = "sea valve", "sea valve"
    OPENING = "hatch, door or window", "hatch, door or window"
    GAS = "gas line", "gas line"
    FUEL = "fuel line", "fuel line"
    GUARD = "guard", "guard"
    WIRING = "wiring", "wiring"


class WorkPlace(models.TextChoices):
    AFLOAT = "afloat", "afloat"
    AGROUND = "aground", "aground between tides"
    SLINGS = "slings", "in the slings"
    ASHORE = "ashore", "ashore"
    EITHER = "either", "afloat or ashore"


class Job(Versioned):
    """One job, JOB-n. Hours are hands-on: low, likely, high; `wait_after_h` is drying, curing, away at a workshop."""

    private_columns = frozenset({"cost", "currency"})

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="jobs")
    number = models.PositiveIntegerField()
    title = models.CharField(max_length=200)
    note = models.TextField(blank=True)
    status = models.CharField(max_length=20, choices=JobStatus.choices, default=JobStatus.IDEA)
    defect = models.ForeignKey(Defect, on_delete=models.SET_NULL, null=True, blank=True, related_name="jobs")
    project = models.CharField("plan it belongs to", max_length=40, blank=True)
    takes_out = models.ManyToManyField(Equipment, blank=True, related_name="taken_out_by")
    works_on = models.ManyToManyField(Equipment, blank=True, related_name="worked_on_by")
    opens = models.JSONField(default=list, blank=True)
    opens_equipment = models.ForeignKey(
        Equipment, on_delete=models.SET_NULL, null=True, blank=True, related_name="opened_by"
    )
    put_back_minutes = models.FloatField(null=True, blank=True)
    test_text = models.CharField(max_length=400, blank=True)
    test_where = models.CharField(max_length=10, choices=ProofPlace.choices, null=True, blank=True)
    test_minutes = models.FloatField(null=True, blank=True)
    stow = models.BooleanField("leaves loose gear", default=False)
    stow_minutes = models.FloatField(null=True, blank=True)
    near_compass = models.BooleanField("within 1 m of the compass", default=False)
    where = models.CharField(max_length=8, choices=WorkPlace.choices, default=WorkPlace.AFLOAT)
    hours_low = models.FloatField(null=True, blank=True)
    hours_likely = models.FloatField(null=True, blank=True)
    hours_high = models.FloatField(null=True, blank=True)
    wait_after_h = models.FloatField(default=0)
    hands = models.PositiveSmallIntegerField(null=True, blank=True)
    people = models.CharField("who does it", max_length=120, blank=True)
    skills = models.JSONField(default=list, blank=True)
    access_set = models.CharField(max_length=8, blank=True)
    needs = models.ManyToManyField("self", symmetrical=False, through="JobNeed", related_name="needed_by")
    cost = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.CharField(max_length=40, null=True, blank=True)
    proved_at = models.DateTimeField(null=True, blank=True)
    photos = models.ManyToManyField(Attachment, blank=True, related_name="jobs")

    class Meta:
        ordering = ["vessel_id", "number"]
        indexes = [models.Index(fields=["vessel", "status"], name="job_by_status")]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "number"], name="job_number_once_aboard"),
            named("job", "title"),
            one_of("job", "status", JobStatus.values),
            one_of("job", "test_where", ProofPlace.values),
            one_of("job", "where", WorkPlace.values),
            *above_zero("job", "number", "hours_low", "hours_likely", "hours_high"),
            *not_below_zero("job", "put_back_minutes", "test_minutes", "stow_minutes", "wait_after_h", "cost"),
            models.CheckConstraint(
                name="job_hours_are_in_order",
                condition=Q(hours_low__lte=F("hours_likely"), hours_likely__lte=F("hours_high")),
            ),
            together("job", "done_at", "done_by"),
            models.CheckConstraint(
                name="job_done_carries_its_time", condition=~Q(status__in=DONE) | Q(done_at__isnull=False)
            ),
            models.CheckConstraint(
                name="job_proved_carries_its_time",
                condition=Q(status="proved", proved_at__isnull=False)
                | (~Q(status="proved") & Q(proved_at__isnull=True)),
            ),
            models.CheckConstraint(
                name="job_cost_names_its_currency", condition=Q(cost__isnull=True) | ~Q(currency="")
            ),
        ]

    @property
    def code(self) -> str:
        """JOB-n, as people say it."""
        return f"JOB-{self.number}"

    def __str__(self) -> str:
        return f"{self.code} {self.title}"


class JobNeed(models.Model):
    """A job that must be done first. `after_wait` false: the drying or curing after it need not be waited for."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="need_rows")
    needs = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="needed_by_rows")
    after_wait = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["job", "needs"], name="job_need_once"),
            models.CheckConstraint(name="job_need_is_another_job", condition=~Q(job=F("needs"))),
        ]

    def __str__(self) -> str:
        return f"{self.job_id} after {self.needs_id}"


class JobPart(Versioned):
    """A part a job needs: ordered, due, arrived. `lead_days` counts from the order."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="parts")
    part = models.CharField(max_length=120)
    quantity = models.FloatField(default=1)
    unit = models.CharField(max_length=12, default="1")
    lead_days = models.FloatField(null=True, blank=True)
    ordered_on = models.DateField(null=True, blank=True)
    due_on = models.DateField(null=True, blank=True)
    arrived_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            named("job_part", "part"),
            *above_zero("job_part", "quantity"),
            *not_below_zero("job_part", "lead_days"),
        ]

    def __str__(self) -> str:
        return self.part
