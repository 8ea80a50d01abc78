"""A photo or file, known by the hash of its bytes and kept in the store of the same name."""

from django.db import models

from vessel.models.constraint import above_zero


class Attachment(models.Model):
    """One stored file: `sha256` names it in the store under its first two letters. Never changed."""

    sha256 = models.CharField(max_length=64, unique=True)
    media_type = models.CharField(max_length=40)
    size_bytes = models.PositiveBigIntegerField()
    width_px = models.PositiveIntegerField(null=True, blank=True)
    height_px = models.PositiveIntegerField(null=True, blank=True)
    made_at = models.DateTimeField("when the photo was taken, by its own record", null=True, blank=True)
    stored_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="attachment_hash_is_64_hex_digits", condition=models.Q(sha256__regex=r"^[0-9a-f]{64}$")
            ),
            *above_zero("attachment", "size_bytes", "width_px", "height_px"),
        ]

    def __str__(self) -> str:
        return self.sha256[:12]
