"""The vessel's short lists in one query: speed table, functions, tanks, sumps, batteries, loads, jackets, beacons.

Each list is a handful of rows whatever the boat's age, so they come as one UNION of like-shaped columns.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import (
    BooleanField,
    CharField,
    DateField,
    DateTimeField,
    Exists,
    F,
    Field,
    FloatField,
    IntegerField,
    OuterRef,
    QuerySet,
    Subquery,
    Sum,
    TextField,
    Value,
)
from django.db.models.expressions import Combinable
from django.db.models.functions import Cast

from maintenance.models import Defect, Spare
from vessel.models import (
    ElectricalSource,
    FuelUse,
    Function,
    Load,
    SafetyEquipment,
    SafetyKind,
    SeaSpeed,
    SpeedPoint,
    Sump,
    Tank,
    TankKind,
)


@dataclass(frozen=True, slots=True)
class ShortRow:
    """One row of a short list; what each column means stands beside its list in COLUMNS."""

    pk: int
    name: str | None
    word: str | None
    text: str | None
    x: float | None
    y: float | None
    z: float | None
    v: float | None
    number: int | None
    flag: bool | None
    on: date | None
    later_on: date | None
    at: datetime | None


ShortLists = Mapping[str, list[ShortRow]]

FIELDS: dict[str, "Field[Any, Any]"] = {
    "name": CharField(),
    "word": CharField(),
    "text": TextField(),
    "x": FloatField(),
    "y": FloatField(),
    "z": FloatField(),
    "v": FloatField(),
    "number": IntegerField(),
    "flag": BooleanField(),
    "on": DateField(),
    "later_on": DateField(),
    "at": DateTimeField(),
}

# The newest open defect by which a sump loses what it holds, and litres of it carried in spares.
LOSS = Defect.objects.filter(equipment=OuterRef("equipment"), closed_at=None).order_by("-number").values("number")[:1]
CARRIED = (
    Spare.objects.filter(vessel=OuterRef("vessel"), consumable=OuterRef("consumable"), unit="l")
    .order_by()
    .values("vessel")
    .annotate(all=Sum("quantity"))
    .values("all")
)
UNCOUNTED = Spare.objects.filter(vessel=OuterRef("vessel"), consumable=OuterRef("consumable"), unit="l", quantity=None)

COLUMNS: dict[str, tuple[QuerySet[Any], dict[str, str | Combinable]]] = {
    "speed": (SpeedPoint.objects.all(), {"x": Cast("rpm", FloatField()), "y": "speed_mps", "z": "burn_l_per_h"}),
    "sea speed": (SeaSpeed.objects.all(), {"x": "height_m", "y": "ahead", "z": "abeam", "v": "astern"}),
    "function": (Function.objects.all(), {"word": "key", "name": "name", "text": "tree", "flag": "is_group",
                                          "number": "place"}),
    "tank": (Tank.objects.filter(kind=TankKind.FUEL), {"name": "name", "word": "gauge", "x": "capacity_l",
                                                       "y": "unusable_l"}),
    "fuel run": (FuelUse.objects.filter(struck_at=None), {"x": F("to_engine_hours") - F("from_engine_hours"), "y": "used_l",
                                                          "z": "mean_rpm", "v": "mean_speed_mps", "at": "at"}),
    "sump": (Sump.objects.all(), {"word": "consumable", "x": "above_min_l", "y": Subquery(CARRIED),
                                  "flag": Exists(UNCOUNTED), "number": Subquery(LOSS)}),
    "source": (ElectricalSource.objects.all(), {"name": "equipment__code", "word": "kind", "text": "chemistry",
                                                "x": "capacity_ah", "y": "nominal_v"}),
    "load": (Load.objects.all(), {"name": "name", "word": "source__kind", "text": "converter__source__kind",
                                  "x": "running_a", "y": "converter__output_v", "z": "converter__efficiency",
                                  "flag": "essential", "at": "left_on_since"}),
    "jacket": (SafetyEquipment.objects.filter(kind=SafetyKind.LIFEJACKET),
               {"name": "name", "word": "size", "text": "valid_until_precision", "number": "count",
                "on": "valid_until"}),
    "beacon": (SafetyEquipment.objects.filter(kind__in=[SafetyKind.BEACON, SafetyKind.PERSONAL_BEACON]),
               {"name": "name", "word": "equipment__code", "text": "valid_until_precision", "on": "valid_until",
                "later_on": "registered_on", "flag": "registered_to_owner"}),
}  # fmt: skip


def short_lists_of(vessel_id: int) -> ShortLists:
    """The short lists of a vessel by name of the list, in order of entry. One query."""
    parts = [_columns(what, rows, columns, vessel_id) for what, (rows, columns) in COLUMNS.items()]
    lists: dict[str, list[ShortRow]] = defaultdict(list)
    for what, *values in parts[0].union(*parts[1:], all=True):
        lists[what].append(ShortRow(*values))
    for rows in lists.values():
        rows.sort(key=lambda row: row.pk)
    return lists


def _columns(
    what: str, rows: QuerySet[Any], columns: Mapping[str, str | Combinable], vessel_id: int
) -> QuerySet[Any, tuple[Any, ...]]:
    cast = {f"as_{name}": Cast(_expression(columns.get(name)), field) for name, field in FIELDS.items()}
    chosen = rows.filter(vessel_id=vessel_id).order_by().annotate(what=Value(what, CharField()), **cast)
    listed: QuerySet[Any, tuple[Any, ...]] = chosen.values_list("what", "pk", *cast)
    return listed


def _expression(column: str | Combinable | None) -> Combinable:
    if column is None:
        return Value(None)
    return F(column) if isinstance(column, str) else column
