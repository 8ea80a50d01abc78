"""Saved verdicts: the word for one departure, the picture of all, and the very facts they were judged on."""

import zlib

from django.db import models
from django.db.models import Q

from readiness.models.leg import Leg
from vessel.models.constraint import named, one_of


class VerdictWord(models.TextChoices):
    GO = "go", "Go"
    GO_IF = "go if", "Go if"
    CANNOT_SAY_YET = "cannot say yet", "Cannot say yet"
    NO_GO = "no-go", "No-go"


class OutlookWord(models.TextChoices):
    GOOD = "good", "good"
    FAIR = "fair", "fair"
    POOR = "poor", "poor"


class Verdict(models.Model):
    """One judging of one leg. A verdict somebody decided on is never changed.

    `departure_at` is the departure the word speaks of. `facts_packed` is the facts document, compressed; `facts_sha256`
    is the hash of the document itself. `findings`, `subjects` (scores), `margins` and `changes` are those of that
    departure as readiness.rules.report tells them; `early_at`, `plan_at`, `late_at` its arrivals, NULL where not known.
    `departures` is the strip of all: {first, every_s, verdict: [...], outlook: [...], deciding: [...]}, words by their
    place in VerdictWord and OutlookWord, each deciding one by its place in `causes`: [[rule, cause], ...].
    One verdict of a leg is the newest.
    """

    leg = models.ForeignKey(Leg, on_delete=models.CASCADE, related_name="verdicts")
    judged_at = models.DateTimeField()
    by = models.CharField(max_length=40)
    departure_at = models.DateTimeField()
    word = models.CharField(max_length=16, choices=VerdictWord.choices)
    outlook = models.CharField(max_length=4, choices=OutlookWord.choices)
    deciding_rule = models.CharField(max_length=60, blank=True)
    deciding_cause = models.CharField(max_length=160, blank=True)
    sentence = models.TextField("the deciding finding in words", blank=True)
    facts_packed = models.BinaryField()
    facts_sha256 = models.CharField(max_length=64)
    findings = models.JSONField(default=list)
    subjects = models.JSONField(default=dict)
    margins = models.JSONField(default=list)
    changes = models.JSONField(default=list)
    early_at = models.DateTimeField(null=True)
    plan_at = models.DateTimeField(null=True)
    late_at = models.DateTimeField(null=True)
    departures = models.JSONField(default=dict)
    engine_version = models.CharField(max_length=40)
    numpy_version = models.CharField(max_length=40)
    is_newest = models.BooleanField(default=True)

    class Meta:
        ordering = ["leg_id", "-judged_at", "-pk"]
        indexes = [models.Index(fields=["leg", "-judged_at"], name="verdict_newest_first")]
        constraints = [
            models.UniqueConstraint(fields=["leg"], name="verdict_one_newest", condition=Q(is_newest=True)),
            one_of("verdict", "word", VerdictWord.values),
            one_of("verdict", "outlook", OutlookWord.values),
            named("verdict", "by"),
            named("verdict", "engine_version"),
            models.CheckConstraint(
                name="verdict_hash_is_64_hex_digits", condition=Q(facts_sha256__regex=r"^[0-9a-f]{64}$")
            ),
            models.CheckConstraint(
                name="verdict_that_is_not_go_says_what_decides", condition=Q(word="go") | ~Q(deciding_rule="")
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_word_display()} ({self.judged_at:%Y-%m-%dT%H:%MZ})"

    @property
    def facts_document(self) -> bytes:
        """The facts it was judged on, as the JSON document."""
        return zlib.decompress(bytes(self.facts_packed))
