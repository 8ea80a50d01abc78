"""What stands on a row of the coast, so that it is not taken away from under it."""

from collections.abc import Iterator

from django.db.models import ForeignObjectRel, Model, QuerySet

from readiness.models import (
    Gate,
    Harbour,
    KeeperPromise,
    LegPoint,
    LegSegment,
    ShelterSector,
    StreamRow,
    StreamTable,
    TideEvent,
    TideStation,
)

CoastRow = Gate | Harbour | StreamTable | TideStation
OWN_PARTS = (ShelterSector, StreamRow, TideEvent)  # they go with it
OF_LEGS = (KeeperPromise, LegPoint, LegSegment)


def users_of(row: CoastRow) -> list[str]:
    """What uses a gate, harbour, tide station or stream table, each as its kind and name, once. One query a relation.

    Every model that points at it is asked, so that one added later counts too; its own rows and sectors do not.
    """
    return sorted({told for relation in _relations(row) for told in _told(relation, row)})


def _relations(row: CoastRow) -> Iterator[ForeignObjectRel]:
    for relation in row._meta.related_objects:  # noqa: SLF001 Django's own way to ask
        if relation.related_model not in OWN_PARTS:
            yield relation


def _told(relation: ForeignObjectRel, row: CoastRow) -> Iterator[str]:
    kind = relation.related_model
    rows: QuerySet[Model] = QuerySet(kind).filter(**{relation.field.name: row})
    if kind in OF_LEGS:
        yield from (f"leg {name}" for name in rows.values_list("leg__name", flat=True))
    else:
        yield from (f"{kind._meta.verbose_name} {each}" for each in rows)  # noqa: SLF001 Django's own way to ask
