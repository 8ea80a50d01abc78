"""Work that runs by itself in the background: one row a piece, in the same database as its cause."""

from django.db import models
from django.db.models import Q

MOST_TRIES = 5


class DueWork(models.Model):
    """One piece of background work: a task, its arguments, and how far it has come.

    The key names what the work is for: asking twice for one key leaves one row.
    """

    class State(models.TextChoices):
        DUE = "due", "due"
        LEASED = "leased", "being done"
        FAILED = "failed", "failed, to be tried again"
        DONE = "done", "done"
        GIVEN_UP = "given_up", "given up"

    key = models.CharField(max_length=200, unique=True)
    task = models.CharField(max_length=200)
    arguments = models.JSONField(default=dict)
    state = models.CharField(max_length=10, choices=State, default=State.DUE)
    due_at = models.DateTimeField()
    asked_again = models.BooleanField(default=False)
    leased_until = models.DateTimeField(null=True, blank=True)
    leased_by = models.CharField(max_length=100, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    last_error = models.TextField(blank=True)
    done_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="due_work_state_is_known",
                condition=Q(state__in=["due", "leased", "failed", "done", "given_up"]),
            ),
            models.CheckConstraint(
                name="due_work_lease_has_a_holder_and_an_end",
                condition=Q(state="leased", leased_until__isnull=False) & ~Q(leased_by="")
                | ~Q(state="leased") & Q(leased_until__isnull=True, leased_by=""),
            ),
            models.CheckConstraint(
                name="due_work_done_has_a_time",
                condition=~Q(state="done") | Q(done_at__isnull=False),
            ),
            models.CheckConstraint(name="due_work_tries_end", condition=Q(tries__lte=MOST_TRIES)),
            models.CheckConstraint(
                name="due_work_asked_again_only_while_being_done",
                condition=Q(asked_again=False) | Q(state="leased"),
            ),
        ]
        indexes = [models.Index(fields=["state", "due_at"], name="due_work_by_state_and_time")]

    def __str__(self) -> str:
        return f"{self.key} ({self.get_state_display()})"
