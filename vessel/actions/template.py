"""A complete starting model of equipment and functions in one go; every row can be changed or taken away afterwards."""

import csv
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from django.db import transaction

from vessel.actions.author import By
from vessel.actions.history import record
from vessel.errors import Refused
from vessel.models import Equipment, FeedChoice, Function, Vessel

FOLDER = Path(__file__).resolve().parent.parent / "template"


class Loaded(NamedTuple):
    """How much a template brought."""

    equipment: int
    functions: int


@transaction.atomic
def load_equipment_and_functions(*, vessel: Vessel, by: By, at: datetime) -> Loaded:
    """The starting equipment with its feeds, and the functions as trees. Refused when she has any already."""
    if Equipment.objects.filter(vessel=vessel).exists() or Function.objects.filter(vessel=vessel).exists():
        raise Refused(f"{vessel.name} has equipment or functions already, so the starting list was not loaded.")
    lines = rows_of(FOLDER / "equipment.csv")
    Equipment.objects.bulk_create(_item(vessel, line) for line in lines)
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel)}
    FeedChoice.objects.bulk_create(
        FeedChoice(equipment=items[line["code"]], feed=items[feed])
        for line in lines
        for feed in line["fed_by"].split(";")
        if feed
    )
    functions = Function.objects.bulk_create(
        Function(
            vessel=vessel, key=line["key"], name=line["name"], tree=line["tree"],
            is_group=line["is_group"] == "yes", place=place,
        )
        for place, line in enumerate(rows_of(FOLDER / "functions.csv"), 1)
    )  # fmt: skip
    loaded = Loaded(len(items), len(functions))
    what = f"The starting list was loaded: {loaded.equipment} items and {loaded.functions} functions."
    record(vessel=vessel, what=what, by=by, at=at, noun="vessel", noun_key=vessel.name)
    return loaded


def rows_of(path: Path) -> list[dict[str, str]]:
    """The lines of a starting list."""
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _item(vessel: Vessel, line: dict[str, str]) -> Equipment:
    return Equipment(
        vessel=vessel,
        code=line["code"],
        name=line["name"],
        subject=line["subject"],
        kind=line["kind"],
        single_by_nature=line["single_by_nature"] == "yes",
        typical_proof=line["proof"],
        proof_minutes=int(line["proof_minutes"]) if line["proof_minutes"] else None,
        proof_where=line["proof_where"],
        keep_days=int(line["keep_days"]) if line["keep_days"] else None,
    )
