"""Setting the limits of a boat. Every set is kept; the newest holds."""

from collections.abc import Mapping
from datetime import datetime

import msgspec
from django.db import transaction

from readiness.models import LimitSet
from readiness.rules.limits import Limits
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.errors import BadInput
from vessel.models import Vessel


@transaction.atomic
def set_limits(*, vessel: Vessel, values: Mapping[str, float], by: By, at: datetime, reason: str = "") -> LimitSet:
    """The boat's own limits from now on; what is not named goes by its printed default.

    Raises BadInput naming the first limit that is unknown or out of its bounds; then the old ones hold.
    """
    unknown = sorted(set(values) - set(Limits.__struct_fields__))
    if unknown:
        raise BadInput(f"“{unknown[0]}” is not a limit of this program. The old limits hold.")
    try:
        checked = msgspec.convert(dict(values), Limits)
    except msgspec.ValidationError as error:
        raise BadInput(f"A limit is out of its bounds: {error}. The old limits hold.") from error
    return _keep(vessel, own_values(checked), by, at, reason)


def own_values(limits: Limits) -> dict[str, float]:
    """Those that differ from the printed defaults."""
    defaults = msgspec.structs.asdict(Limits())
    return {name: value for name, value in msgspec.structs.asdict(limits).items() if value != defaults[name]}


def _keep(vessel: Vessel, values: dict[str, float], by: By, at: datetime, reason: str) -> LimitSet:
    newest = LimitSet.objects.select_for_update().filter(vessel=vessel).order_by("-number").first()
    before = newest.values if newest else {}
    if newest and before == values:
        return newest
    kept = LimitSet.objects.create(
        vessel=vessel, number=newest.number + 1 if newest else 1, values=values, set_at=at,
        by=token_of(by=by, vessel_id=vessel.pk), reason=reason,
    )  # fmt: skip
    names = sorted(name for name in {*before, *values} if before.get(name) != values.get(name))
    record(
        vessel=vessel, what=f"Limits set, number {kept.number}: {', '.join(names) or 'as printed'}.", by=by, at=at,
        noun="limits", noun_key=str(kept.number),
        changes={name: [before.get(name), values.get(name)] for name in names},
    )  # fmt: skip
    return kept
