"""Gates: what opens and shuts on the way, or in and out of a harbour."""

from django.db import models
from django.db.models import Q

from readiness.models.closed_list import choices
from readiness.models.harbour import Harbour
from readiness.models.tidal_stream import StreamTable
from readiness.models.tide_station import TideStation
from readiness.rules.words_of_trade import GateKind
from vessel.models import Vessel
from vessel.models.constraint import named, not_below_zero, one_of, together, within
from vessel.models.versioned import Versioned
from vessel.units import DAY


class Gate(Versioned):
    """A lock, sill, bar, bridge or narrows, of one harbour or on the way. NULL means not known.

    `before_s`, `after_s`: a lock works from so long before high water until so long after; `free_flow_before_s`,
    `free_flow_after_s`: both its gates stand open. `level_m`: height of the sill, bar or lock sill against `zero`,
    drying positive; of a bridge, the headroom above `zero`. `fixed`: a bridge that never opens. `most_sea_m`: the
    bar is not crossed in a higher sea. `most_rate_mps`: narrows are passed up to this rate of their stream table.
    Hours are seconds after local midnight of its zone. `keeps_hours` false: open at all hours the water allows.
    `hands`: besides the helm.
    """

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="gates")
    harbour = models.ForeignKey(Harbour, on_delete=models.CASCADE, null=True, blank=True, related_name="gates")
    zone = models.CharField("time zone of a gate that no harbour has", max_length=64, blank=True)
    key = models.SlugField(max_length=60)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=8, choices=choices(GateKind))
    tide_station = models.ForeignKey(TideStation, on_delete=models.PROTECT, null=True, blank=True, related_name="gates")
    before_s = models.FloatField(null=True, blank=True)
    after_s = models.FloatField(null=True, blank=True)
    free_flow_before_s = models.FloatField(null=True, blank=True)
    free_flow_after_s = models.FloatField(null=True, blank=True)
    level_m = models.FloatField(null=True, blank=True)
    zero = models.CharField("level is above or below", max_length=80, null=True, blank=True)
    fixed = models.BooleanField("never opens", null=True, blank=True)
    most_sea_m = models.FloatField(null=True, blank=True)
    stream_table = models.ForeignKey(StreamTable, on_delete=models.PROTECT, null=True, blank=True, related_name="gates")
    most_rate_mps = models.FloatField(null=True, blank=True)
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
            *not_below_zero("gate", "before_s", "after_s", "last_entry_s", "free_flow_before_s", "free_flow_after_s"),
            *not_below_zero("gate", "most_sea_m", "most_rate_mps"),
            together("gate", "free_flow_before_s", "free_flow_after_s"),
            models.CheckConstraint(
                name="gate_has_a_harbour_or_a_zone", condition=Q(harbour__isnull=False) | ~Q(zone="")
            ),
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
