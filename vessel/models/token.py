"""Tokens by which a program reads and writes for somebody aboard, and the answers it was given once."""

from django.db import models
from django.db.models import F, Q

from vessel.models.constraint import named, one_of
from vessel.models.membership import Membership

HEX = r"^[0-9a-f]{64}$"


class Scope(models.TextChoices):
    READ = "read", "read"
    WRITE = "write", "read and write"


class ApiToken(models.Model):
    """One token of one person aboard one vessel; it goes with the membership and may never do more than that role.

    Only the SHA-256 of its 256 random bits is kept, and its first letters to tell it from others.
    """

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="tokens")
    name = models.CharField(max_length=80)
    scope = models.CharField(max_length=5, choices=Scope.choices)
    prefix = models.CharField("first letters", max_length=12)
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    last_used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            named("api_token"),
            one_of("api_token", "scope", Scope.values),
            models.CheckConstraint(name="api_token_digest_is_64_hex_digits", condition=Q(digest__regex=HEX)),
            models.CheckConstraint(
                name="api_token_runs_out_after_it_was_made", condition=Q(expires_at__gt=F("made_at"))
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.prefix}…)"


class GivenAnswer(models.Model):
    """What a request with an Idempotency-Key was answered, written in the transaction of its effect."""

    membership = models.ForeignKey(Membership, on_delete=models.CASCADE, related_name="given_answers")
    key = models.CharField(max_length=200)
    request_sha256 = models.CharField("hash of method, address and body", max_length=64)
    body = models.JSONField(default=dict)
    made_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["membership", "key"], name="given_answer_once_for_each_key"),
            named("given_answer", "key"),
            models.CheckConstraint(name="given_answer_hash_is_64_hex_digits", condition=Q(request_sha256__regex=HEX)),
        ]

    def __str__(self) -> str:
        return self.key
