from datetime import UTC, datetime

import pytest

from readiness.actions.coast import add_gate, add_harbour
from readiness.actions.coast_away import MOST_NAMED, listed, take_coast_away
from readiness.models import Gate, Harbour, ShelterSector
from tests.factories.vessel import a_vessel
from vessel.errors import Refused

AT = datetime(2027, 5, 15, 6, 0, tzinfo=UTC)


@pytest.mark.django_db
def test_a_harbour_goes_with_its_sectors_once_its_gate_is_gone() -> None:
    vessel = a_vessel()
    harbour = add_harbour(
        vessel=vessel, by="test", at=AT, key="thole", name="Thole Bight", zone="UTC", lat_deg=46.5, lon_deg=-14.0,
        shelter=[(0.0, 90.0)],
    )  # fmt: skip
    gate = add_gate(vessel=vessel, by="test", at=AT, key="sill", name="Thole sill", kind="sill", harbour=harbour)

    with pytest.raises(Refused, match=r"Thole Bight is still used by gate Thole sill, so it was kept\."):
        take_coast_away(row=harbour, seen_version=1, by="test", at=AT)
    assert Gate.objects.count() == 1

    take_coast_away(row=gate, seen_version=1, by="test", at=AT)
    take_coast_away(row=harbour, seen_version=1, by="test", at=AT)
    assert (Harbour.objects.count(), ShelterSector.objects.count()) == (0, 0)


@pytest.mark.parametrize(
    ("count", "words"),
    [(1, "u0"), (MOST_NAMED, "u0, u1, u2, u3, u4, u5"), (MOST_NAMED + 2, "u0, u1, u2, u3, u4, u5 and 2 more")],
)
def test_of_many_users_the_first_few_are_named(count: int, words: str) -> None:
    assert listed([f"u{number}" for number in range(count)]) == words
