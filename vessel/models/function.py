"""What she must be able to do, and which equipment that takes, as a tree of ALL, ANY and ATLEAST."""

from django.db import models

from vessel.models.constraint import named
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class Function(Versioned):
    """One function, or a group used by several (`is_group`).

    `tree` is text: ALL(EN-01, ANY(EN-03, EN-04)), ATLEAST(2; a, b, c), over equipment codes, keys of groups, and the
    conditions worked out for each leg: engine_space_ok, near_ok, no_lock_ok.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="functions")
    key = models.SlugField(max_length=40)
    name = models.CharField(max_length=120)
    tree = models.TextField()
    is_group = models.BooleanField(default=False)
    place = models.PositiveSmallIntegerField("place in the list", default=0)

    class Meta:
        ordering = ["vessel_id", "place", "key"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "key"], name="function_key_once_aboard"),
            named("function", "key"),
            named("function"),
            named("function", "tree"),
        ]

    def __str__(self) -> str:
        return self.name
