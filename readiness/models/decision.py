"""The skipper's own word on one saved verdict. It stands beside the verdict and never changes it."""

from django.db import models
from django.db.models import Q

from readiness.models.verdict import Verdict
from vessel.models.constraint import named, one_of


class DecisionWord(models.TextChoices):
    GO = "go", "we go"
    NO_GO = "no-go", "we stay"


class Decision(models.Model):
    """Go or stay, on exactly one verdict, by name and time; never changed, and at most one for each verdict.

    `conditions` lists the conditions accepted, each {rule, cause, sentence}. Going against a verdict needs a reason.
    """

    verdict = models.OneToOneField(Verdict, on_delete=models.PROTECT, related_name="decision")
    word = models.CharField(max_length=6, choices=DecisionWord.choices)
    at = models.DateTimeField()
    by = models.CharField(max_length=40)
    against = models.BooleanField("goes although the verdict is not go or go if", default=False)
    conditions = models.JSONField(default=list, blank=True)
    reason = models.TextField(blank=True)

    class Meta:
        ordering = ["-at"]
        constraints = [
            one_of("decision", "word", DecisionWord.values),
            named("decision", "by"),
            models.CheckConstraint(
                name="decision_against_the_verdict_gives_a_reason", condition=Q(against=False) | ~Q(reason="")
            ),
        ]

    def __str__(self) -> str:
        return self.get_word_display()
