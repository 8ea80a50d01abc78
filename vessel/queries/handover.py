"""Her chapters of a handover. Every column is named here: what is not named does not go."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from vessel.calc.json_value import json_value, stamp
from vessel.models import (
    PRIVATE_KINDS,
    Equipment,
    FeedChoice,
    HistoryEntry,
    LogEntry,
    Proof,
    Reading,
    SpeedPoint,
    Tank,
    Vessel,
)

Cell = str | int | float | bool | None


class Column(NamedTuple):
    """One column: its name in the files, its heading on the page, its unit where it has one."""

    name: str
    heading: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Chapter:
    """One chapter: `key` names its files; rows are plain values in the order of the columns."""

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: Sequence[tuple[Cell, ...]]
    note: str = ""


PARTICULARS = (
    ("name", ""), ("builders_number", ""), ("register_number", ""), ("built_year", ""), ("home_port", ""),
    ("home_zone", ""), ("hull_material", ""), ("loa_m", "m"), ("lwl_m", "m"), ("beam_m", "m"), ("draught_m", "m"),
    ("draught_measured_on", ""), ("draught_load", ""), ("air_draught_m", "m"), ("air_draught_folded_m", "m"),
    ("displacement_t", "t"), ("max_persons", ""), ("min_crew", ""), ("cruise_rpm", "1/min"),
    ("coolant_book_c", "degC"), ("next_haul_out_on", ""),
)  # fmt: skip


def particulars(vessel_id: int) -> Chapter:
    """Who she is, her speed table and her tanks. Three queries."""
    vessel = Vessel.objects.get(pk=vessel_id)
    rows: list[tuple[Cell, ...]] = [(_words(name), _cell(getattr(vessel, name)), unit) for name, unit in PARTICULARS]
    for point in SpeedPoint.objects.filter(vessel_id=vessel_id):
        rows.append((f"speed at {point.rpm} rpm", point.speed_mps, "m/s"))
        rows.append((f"fuel at {point.rpm} rpm", point.burn_l_per_h, "l/h"))
    for tank in Tank.objects.filter(vessel_id=vessel_id).order_by("pk"):
        rows.append((f"{tank.name} ({tank.kind}), holds", tank.capacity_l, "l"))
        rows.append((f"{tank.name} ({tank.kind}), of which unusable", tank.unusable_l, "l"))
    columns = (Column("what", "What"), Column("value", "Value"), Column("unit", "Unit"))
    return Chapter("particulars", "Particulars", columns, rows, "An empty value is not known.")


def equipment(vessel_id: int) -> Chapter:
    """What is fitted, what feeds it, when it was last tested and how. Three queries."""
    feeds: dict[int, list[str]] = {}
    choices = FeedChoice.objects.filter(equipment__vessel_id=vessel_id).order_by("feed__code")
    for item_id, code in choices.values_list("equipment_id", "feed__code"):
        feeds.setdefault(item_id, []).append(code)
    proofs: dict[int, Proof] = {}
    for proof in Proof.objects.filter(equipment__vessel_id=vessel_id).order_by("at", "pk"):
        proofs[proof.equipment_id] = proof
    rows = [
        (
            *(_cell(getattr(item, name)) for name in EQUIPMENT),
            "|".join(feeds.get(item.pk, ())),
            *_proof(proofs, item.pk),
        )
        for item in Equipment.objects.filter(vessel_id=vessel_id)
    ]
    more = ("fed_by", "last_tested_at", "last_test_passed", "last_test")
    return Chapter("equipment", "Equipment", columns_of(*EQUIPMENT, *more), rows)


EQUIPMENT = (
    "code", "name", "kind", "subject", "space", "carried", "quantity", "rating", "make_and_model", "serial_number",
    "fitted_on", "removed_on", "valid_until", "valid_until_precision", "registered_on", "typical_proof", "keep_days",
    "note",
)  # fmt: skip


def _proof(proofs: dict[int, Proof], item_id: int) -> tuple[Cell, Cell, Cell]:
    proof = proofs.get(item_id)
    return (stamp(proof.at), proof.passed, proof.text) if proof else (None, None, None)


def readings(vessel_id: int) -> Chapter:
    """Everything measured again and again, with how it was taken. One query."""
    rows = [
        (
            row.series.name, stamp(row.at), row.value, row.series.unit, row.typed, row.engine_hours, row.how,
            _conditions(row.conditions), row.series.limit, row.struck_at is not None,
        )
        for row in Reading.objects.filter(series__vessel_id=vessel_id).select_related("series")
    ]  # fmt: skip
    columns = columns_of(
        "series", "at", "value", "unit", "typed", "engine_hours:h", "how_taken", "conditions", "limit", "struck_out"
    )
    return Chapter("readings", "Readings", columns, rows, "A reading that was struck out is wrong; it is kept to see.")


def log(vessel_id: int) -> Chapter:
    """The ship's log; what was written of passages and in notes stays with the owner. One query."""
    rows = [
        (
            stamp(entry.at), entry.get_kind_display(), _log_text(entry), entry.engine_hours,
            _conditions(entry.values), stamp(entry.entered_at), entry.struck_at is not None,
        )
        for entry in LogEntry.objects.filter(vessel_id=vessel_id)
    ]  # fmt: skip
    columns = columns_of("at", "kind", "text", "engine_hours:h", "values", "entered_at", "struck_out")
    return Chapter("log", "Log", columns, rows)


def _log_text(entry: LogEntry) -> str:
    if entry.text and entry.kind in PRIVATE_KINDS:
        return f"[withheld by owner, {len(entry.text.split())} words]"
    return entry.text


def history(vessel_id: int) -> Chapter:
    """What happened to her, line by line as the chain holds it; people appear by token. One query."""
    rows = [
        (entry.number, stamp(entry.at), stamp(entry.happened_at), entry.by, entry.what)
        for entry in HistoryEntry.objects.filter(vessel_id=vessel_id).order_by("number")
    ]
    note = "The chain itself, which the program can check, is history.jsonl."
    return Chapter(
        "history_lines", "History", columns_of("number", "entered_at", "happened_at", "by", "what"), rows, note
    )


def columns_of(*names: str) -> tuple[Column, ...]:
    """Columns by name, "name:unit" where there is a unit."""
    parts = (name.partition(":") for name in names)
    return tuple(Column(name, _words(name), unit) for name, _, unit in parts)


def _words(name: str) -> str:
    stem, _, unit = name.rpartition("_")
    text = stem if unit in {"m", "t", "c", "l"} else name
    return text.replace("_", " ").capitalize()


def _cell(value: object) -> Cell:
    plain = json_value(value)
    return plain if isinstance(plain, str | int | float | bool) or plain is None else str(plain)


def _conditions(values: dict[str, object]) -> str:
    return ", ".join(f"{name} {value}" for name, value in sorted(values.items()))
