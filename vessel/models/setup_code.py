"""One-time codes printed on the boat's own computer: for the first set-up and for a lost password."""

from django.db import models
from django.db.models import F, Q


class SetupCode(models.Model):
    """Only the SHA-256 of a code is kept: it has sixty random bits, so it can neither be guessed nor looked up."""

    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="setup_code_runs_out_after_it_was_made", condition=Q(expires_at__gt=F("made_at"))
            ),
            models.CheckConstraint(
                name="setup_code_used_before_it_ran_out",
                condition=Q(used_at__isnull=True) | Q(used_at__gte=F("made_at"), used_at__lt=F("expires_at")),
            ),
        ]

    def __str__(self) -> str:
        return f"made {self.made_at:%d %b %Y %H:%M} UTC"
