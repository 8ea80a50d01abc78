"""History: what happened to the vessel, append-only and chained by hashes. Written only by vessel.actions.history.

No foreign keys: an entry outlives whatever it speaks of. Triggers in the database refuse to change or delete an entry.
"""

from django.db import models

from vessel.models.constraint import named, together


class HistoryEntry(models.Model):
    """One entry, number 1 upward without gaps for each vessel. `by` is a token, never a name.

    `private_hash` binds text that stands in HistoryPrivate; `hash` covers every field here and `previous_hash`.
    """

    vessel_id = models.BigIntegerField()
    number = models.PositiveIntegerField()
    at = models.DateTimeField("when it was entered (server)")
    happened_at = models.DateTimeField("when it happened", null=True, blank=True)
    by = models.CharField(max_length=40)
    what = models.TextField()
    noun = models.CharField(max_length=40)
    noun_key = models.CharField(max_length=40)
    changes = models.JSONField(default=dict)
    private_hash = models.CharField(max_length=64, blank=True)
    previous_hash = models.CharField(max_length=64, blank=True)
    hash = models.CharField(max_length=64)

    class Meta:
        ordering = ["vessel_id", "number"]
        verbose_name_plural = "history entries"
        indexes = [models.Index(fields=["vessel_id", "noun", "noun_key"], name="history_of_one_thing")]
        constraints = [
            models.UniqueConstraint(fields=["vessel_id", "number"], name="history_number_once"),
            models.UniqueConstraint(fields=["vessel_id", "previous_hash"], name="history_never_forks"),
            models.CheckConstraint(name="history_starts_at_one", condition=models.Q(number__gte=1)),
            models.CheckConstraint(
                name="history_first_entry_follows_nothing",
                condition=models.Q(number=1, previous_hash="") | (models.Q(number__gt=1) & ~models.Q(previous_hash="")),
            ),
            named("history", "what"),
            named("history", "by"),
        ]

    def __str__(self) -> str:
        return f"{self.number}: {self.what}"


class HistoryPrivate(models.Model):
    """Private text of one entry and the salt that hides it; both go when it is struck out, the gap stays."""

    vessel_id = models.BigIntegerField()
    number = models.PositiveIntegerField()
    text = models.TextField(null=True)
    salt = models.CharField(max_length=64, null=True)
    words = models.PositiveIntegerField("number of words, kept when struck out")
    struck_at = models.DateTimeField(null=True)
    struck_by = models.CharField(max_length=40, null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["vessel_id", "number"], name="history_private_once"),
            together("history_private", "text", "salt"),
            together("history_private", "struck_at", "struck_by"),
            models.CheckConstraint(
                name="history_private_is_there_or_struck_out",
                condition=models.Q(text__isnull=False, struck_at__isnull=True)
                | models.Q(text__isnull=True, struck_at__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.text or f"[withheld, {self.words} words]"


class Pseudonym(models.Model):
    """Which account a token of the history stands for. Outside the chain: `name` can be erased, the token stays."""

    vessel_id = models.BigIntegerField()
    account_id = models.BigIntegerField(null=True)
    token = models.CharField(max_length=40)
    name = models.CharField(max_length=160, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["vessel_id", "token"], name="pseudonym_token_once"),
            models.UniqueConstraint(fields=["vessel_id", "account_id"], name="pseudonym_once_for_each_account"),
            named("pseudonym", "token"),
        ]

    def __str__(self) -> str:
        return self.token
