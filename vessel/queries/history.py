"""History as people read it, its heads, and whether its chain is whole."""

from collections.abc import Iterator
from datetime import date, datetime, tzinfo
from functools import cache
from typing import NamedTuple

from django.apps import apps
from django.db.models import Max
from django.db.models.functions import TruncDate

from vessel.calc.history_chain import Head, Problem, first_bad, private_hash
from vessel.calc.json_value import stamp
from vessel.models import HistoryEntry, HistoryPrivate, Pseudonym
from vessel.models.versioned import column_labels


class Line(NamedTuple):
    """One entry to show: the names are looked up, private text is there, or how many words were struck out."""

    number: int
    at: datetime
    happened_at: datetime | None
    by: str
    what: str
    noun: str
    noun_key: str
    changes: dict[str, list[object]]
    private: str
    words_struck: int


def history_page(
    vessel_id: int, *, before: int | None = None, size: int = 50, noun: str = "", noun_key: str = ""
) -> list[Line]:
    """Newest entries first, below number `before`; of one thing when named. Three queries."""
    rows = HistoryEntry.objects.filter(vessel_id=vessel_id)
    rows = rows.filter(noun=noun) if noun else rows
    rows = rows.filter(noun_key=noun_key) if noun_key else rows
    rows = rows.filter(number__lt=before) if before else rows
    entries = list(rows.order_by("-number")[:size])
    names = names_of(vessel_id)
    kept = {
        row.number: row
        for row in HistoryPrivate.objects.filter(vessel_id=vessel_id, number__in=[entry.number for entry in entries])
    }
    return [_line(entry, names, kept.get(entry.number)) for entry in entries]


def _line(entry: HistoryEntry, names: dict[str, str], private: HistoryPrivate | None) -> Line:
    return Line(
        number=entry.number,
        at=entry.at,
        happened_at=entry.happened_at,
        by=names.get(entry.by) or entry.by,
        what=entry.what,
        noun=entry.noun,
        noun_key=entry.noun_key,
        changes=entry.changes,
        private=(private.text or "") if private else "",
        words_struck=private.words if private and private.struck_at else 0,
    )


def names_of(vessel_id: int) -> dict[str, str]:
    """Token to name, for the people who may see names. One query."""
    return dict(Pseudonym.objects.filter(vessel_id=vessel_id).values_list("token", "name"))


@cache
def labels_of(noun: str) -> dict[str, str]:
    """What the columns of a noun are called where their names do not say enough. No query."""
    kinds = (kind for kind in apps.get_models() if str(kind._meta.verbose_name) == noun)  # noqa: SLF001 Django's own way
    return {name: words for kind in kinds for name, words in column_labels(kind).items()}


def head(vessel_id: int) -> Head | None:
    """Number and hash of the newest entry: what to note outside. One query."""
    last = HistoryEntry.objects.filter(vessel_id=vessel_id).order_by("-number").first()
    return Head(last.number, last.hash) if last else None


def heads_by_day(vessel_id: int, zone: tzinfo) -> dict[date, Head]:
    """The head as it stood at the end of each day, in the given zone. Two queries."""
    newest = (
        HistoryEntry.objects.filter(vessel_id=vessel_id)
        .annotate(day=TruncDate("at", tzinfo=zone))
        .values("day")
        .annotate(last=Max("number"))
    )
    days: dict[int, date] = {row["last"]: row["day"] for row in newest}
    hashes = HistoryEntry.objects.filter(vessel_id=vessel_id, number__in=list(days)).values_list("number", "hash")
    return {days[number]: Head(number, noted) for number, noted in hashes.order_by("number")}


def chain(vessel_id: int) -> Iterator[dict[str, object]]:
    """Every entry as the chain covers it, with its hash, oldest first. One query, read in pieces."""
    rows = HistoryEntry.objects.filter(vessel_id=vessel_id).order_by("number", "pk").values()
    for row in rows.iterator(chunk_size=2000):
        del row["id"], row["vessel_id"]
        yield {**row, "at": stamp(row["at"]), "happened_at": stamp(row["happened_at"])}


def chain_problem(vessel_id: int, heads: tuple[Head, ...] = ()) -> Problem | None:
    """The first entry that is not as it was written, its private text included. Two queries."""
    entries = list(chain(vessel_id))
    return first_bad(entries, heads) or _wrong_private(vessel_id, entries)


def _wrong_private(vessel_id: int, entries: list[dict[str, object]]) -> Problem | None:
    kept = {row.number: row for row in HistoryPrivate.objects.filter(vessel_id=vessel_id)}
    for number, entry in enumerate(entries, 1):
        row = kept.pop(number, None)
        if bool(entry["private_hash"]) != (row is not None):
            return Problem(number, "missing", f"The private text of entry {number} does not go with the entry.")
        if row is not None and row.text is not None and private_hash(row.text, row.salt or "") != entry["private_hash"]:
            return Problem(number, "changed", f"The private text of entry {number} was changed after it was written.")
    return None
