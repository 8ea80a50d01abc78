"""The look at the warnings in the facts: the newest one, whole or not at all."""

from datetime import timedelta
from typing import Any

import pytest
from msgspec.structs import asdict, replace

from readiness.models import WarningLook
from readiness.rules.facts import Facts
from readiness.rules.facts_water import WeatherWarning
from readiness.rules.words_of_trade import WarningKind
from tests.factories.readiness import again, stored
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import water
from vessel.models import Vessel

pytestmark = pytest.mark.django_db


def warned() -> Facts:
    """The worked example with a gale warning that has no end."""
    facts = worked_example(1)
    assert facts.water.warnings is not None
    gale = WeatherWarning(kind=WarningKind.GALE, area="Skarn", start=facts.judged_at, end=None, text="Gale 8")
    return water(facts, warnings=replace(facts.water.warnings, items=(gale,)))


def test_what_was_written_down_comes_out_as_it_was() -> None:
    facts = warned()

    found = again(stored(facts), facts).water.warnings

    assert found is not None
    assert facts.water.warnings is not None
    assert asdict(found) | {"items": ()} == asdict(facts.water.warnings) | {"items": ()}
    assert [asdict(item) for item in found.items] == [asdict(item) for item in facts.water.warnings.items]


def test_the_newest_look_counts_and_another_boats_does_not() -> None:
    facts = warned()
    leg = stored(facts)
    first = WarningLook.objects.get()
    stranger = Vessel.objects.get(pk=leg.vessel_id)
    stranger.pk, stranger.name = None, "Another"
    stranger.save()
    for hours, vessel, source in ((1, leg.vessel, "second look"), (2, stranger, "not ours")):
        at = first.looked_at + timedelta(hours=hours)
        WarningLook.objects.create(
            vessel=vessel, source=source, looked_at=at, good_to=first.good_to, by="crew", items=[]
        )

    found = again(leg, facts).water.warnings

    assert found is not None
    assert (found.source, found.items) == ("second look", ())


@pytest.mark.parametrize(
    "items",
    [
        [{"kind": "gale or worse"}],
        [{"kind": "breezy", "area": "Skarn", "start": None, "end": None, "text": ""}],
        [{"kind": "gale or worse", "area": "Skarn", "start": "Saturday", "end": None, "text": ""}],
        [{"kind": "gale or worse", "area": "Skarn", "start": "2027-05-15T06:00:00", "end": None, "text": ""}],
        [{"kind": "gale or worse", "area": 7, "start": None, "end": None, "text": ""}],
        [{"kind": "gale or worse", "area": "Skarn", "start": {}, "end": None, "text": ""}],
        ["gale"],
        7,
    ],
)
def test_a_damaged_look_is_no_look(items: Any) -> None:
    facts = warned()
    leg = stored(facts)
    WarningLook.objects.update(items=items)

    assert again(leg, facts).water.warnings is None


def test_where_nobody_looked_there_is_none() -> None:
    facts = warned()
    leg = stored(facts)
    WarningLook.objects.all().delete()

    assert again(leg, facts).water.warnings is None
