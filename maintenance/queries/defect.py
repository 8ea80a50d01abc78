"""Defects as pages ask for them."""

import re
from collections.abc import Sequence

from django.db.models import Case, IntegerField, QuerySet, Value, When

from maintenance.models import Defect, Effect
from vessel.models import Equipment

# Worst first. Not known stands between: it may be either.
EFFECT_ORDER = (Effect.DISABLES, None, Effect.DEGRADES, Effect.NONE)
SHORTEST_WORD = 4  # letters; shorter words say nothing of where


def open_defects(vessel_id: int) -> QuerySet[Defect]:
    """Defects not mended yet, the worst first, then the newest. One query."""
    rank = Case(
        *(When(effect=effect, then=Value(place)) if effect else When(effect=None, then=Value(place))
          for place, effect in enumerate(EFFECT_ORDER)),
        output_field=IntegerField(),
    )  # fmt: skip
    rows = Defect.objects.filter(vessel_id=vessel_id, closed_at=None).select_related("equipment")
    return rows.annotate(rank=rank).order_by("rank", "-opened_at", "-pk")


def mended_defects(vessel_id: int) -> QuerySet[Defect]:
    """Defects mended, the newest first. One query."""
    return Defect.objects.filter(vessel_id=vessel_id, closed_at__isnull=False).order_by("-closed_at", "-pk")


def equipment_of(vessel_id: int) -> QuerySet[Equipment]:
    """What is fitted, by code. One query."""
    return Equipment.objects.filter(vessel_id=vessel_id).order_by("code")


def guess_equipment(words: str, fitted: Sequence[Equipment]) -> Equipment | None:
    """The piece whose name shares most of its letters' worth of whole words with what was written; None when none
    does or two do alike. A guess is offered to be seen and changed, never stored unseen.
    """
    written = _stems(words)
    scored = sorted(((_shared(written, item), item.pk, item) for item in fitted), reverse=True)
    if not scored or not scored[0][0]:
        return None
    return scored[0][2] if len(scored) == 1 or scored[0][0] > scored[1][0] else None


def _shared(written: frozenset[str], item: Equipment) -> int:
    return sum(len(stem) for stem in written & _stems(item.name))


def _stems(text: str) -> frozenset[str]:
    """Whole words without their plural s."""
    words = re.findall(r"[a-z]+", text.lower())
    return frozenset(word.rstrip("s") for word in words if len(word) >= SHORTEST_WORD)
