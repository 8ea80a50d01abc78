"""Gates: what opens and shuts on the way in or out of a harbour."""

from django.db import models
from django.db.models import Q

from readiness.models.closed_list import choices
from readiness.models.harbour import Harbour
from readiness.models.tide_station import TideStation
from readiness.rules.words_of_trade import GateKind
from vessel.models import Vessel
from vessel.models.constraint import named, not_below_zero, one_of, together, within
from vessel.models.versioned import Versioned
from vessel.units import DAY


class Gate(Versioned):
    """A lock, sill, bar or bridge of one harbour. NULL means not known.

    `before_s`, `after_s`: a lock works from so long before high water until so long after. `level_m`: height of the
    sill or bar against `zero`, drying positive; of a bridge, the headroom above `zero`. Hours are seconds after local
    midnight of the harbour's zone. `keeps_hours` false: open at all hours the water allows. `hands`: besides the helm.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="gates")
    harbour = models.ForeignKey(Harbour, on_delete=models.CASCADE, related_name="gates")
    key = models.SlugField(max_length=60)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=8, choices=choices(GateKind))
    tide_station = models.ForeignKey(TideStation, on_delete=models.PROTECT, null=True, blank=True, related_name="gates")
    before_s = models.FloatField(null=True, blank=True)
    after_s = models.FloatField(null=True, blank=True)
    level_m = models.FloatField(null=True, blank=True)
    zero = models.CharField("level is above or below", max_length=80, null=True, blank=True)
    keeps_hours = models.BooleanField(null=True, blank=True)
    opens_local_s = models.FloatField(null=True, blank=True)
    closes_local_s = models.FloatField(null=True, blank=True)
    last_entry_s = models.FloatField("last entry before it shuts (s)", null=True, blank=True)
    hands = models.PositiveSmallIntegerField(null=True, blank=True)
    wait_place = models.ForeignKey(
        Harbour, on_delete=models.SET_NULL, null=True, blank=True, related_name="waited_at_for"
    )
    keeper_contact = models.CharField(max_length=200, blank=True)
    source = models.CharField("where this is from", max_length=200, blank=True)

    class Meta:
        ordering = ["vessel_id", "key"]
        constraints = [
            models.UniqueConstraint(fields=["vessel", "key"], name="gate_key_once"),
            named("gate", "key"),
            named("gate"),
            one_of("gate", "kind", [kind.value for kind in GateKind]),
            *not_below_zero("gate", "before_s", "after_s", "last_entry_s"),
            within("gate", "opens_local_s", 0, DAY),
            within("gate", "closes_local_s", 0, DAY),
            together("gate", "opens_local_s", "closes_local_s"),
            models.CheckConstraint(
                name="gate_without_hours_has_none",
                condition=Q(keeps_hours__isnull=True) | Q(keeps_hours=True) | Q(opens_local_s__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return self.name
