"""DEF-n and JOB-n: the next number aboard, without gaps or twins however many write at once."""

from typing import Any

from django.db.models import Manager, Max

from vessel.models import Vessel


def next_number(rows: Manager[Any], vessel: Vessel) -> int:
    """The next number of this kind aboard; call it in a transaction, it locks the vessel's row."""
    Vessel.objects.select_for_update().get(pk=vessel.pk)
    highest: int | None = rows.filter(vessel=vessel).aggregate(highest=Max("number"))["highest"]
    return (highest or 0) + 1
