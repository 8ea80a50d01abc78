"""Stream tables with their rows, as pages ask for them."""

from django.db.models import QuerySet

from readiness.models import StreamTable


def stream_tables(vessel_id: int) -> "QuerySet[StreamTable]":
    """The vessel's stream tables with rows and station, by name. Two queries."""
    rows = StreamTable.objects.filter(vessel_id=vessel_id).select_related("tide_station")
    return rows.prefetch_related("rows").order_by("name")
