"""Answer a request with an Idempotency-Key once: the answer is kept in the transaction of its effect."""

import hashlib
import json
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from vessel.errors import BadInput, Refused
from vessel.models import GivenAnswer, Membership

KEEPS = timedelta(hours=24)
LONGEST_KEY = 200


class KeyUsedOtherwise(Refused):
    """The key came with another request before."""


@transaction.atomic
def answer_once(
    *, membership: Membership, key: str, request: tuple[str, str, Any], at: datetime, deed: Callable[[], Any]
) -> tuple[Any, bool]:
    """The answer of `deed`, and whether it was done now; the same key within 24 hours gives the first answer again.

    `request` is method, address and parsed body. Two at once wait for each other: the row of the key is written
    first. A deed that is refused leaves no row. Raises BadInput for a key that is none, KeyUsedOtherwise.
    """
    if not (0 < len(key) <= LONGEST_KEY and key.isascii() and key.isprintable()):
        raise BadInput(f"Idempotency-Key must be 1 to {LONGEST_KEY} plain letters. Nothing was done.")
    GivenAnswer.objects.filter(membership=membership, made_at__lte=at - KEEPS).delete()
    asked = hashlib.sha256(json.dumps(request, sort_keys=True).encode()).hexdigest()
    row, is_new = GivenAnswer.objects.select_for_update().get_or_create(
        membership=membership, key=key, defaults={"request_sha256": asked, "made_at": at}
    )
    if row.request_sha256 != asked:
        raise KeyUsedOtherwise(
            "This Idempotency-Key came with another request in the last 24 hours. The first request stands, this one"
            " was not done. Send it under a key of its own."
        )
    if is_new:
        row.body = deed()
        row.save(update_fields=["body"])
    return row.body, is_new
