from datetime import timedelta

import pytest
from pytest_django import DjangoAssertNumQueries

from maintenance.queries.defect import guess_equipment, mended_defects, open_defects
from tests.factories.maintenance import a_defect
from tests.factories.vessel import AT, a_vessel, an_item

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("rows", [1, 3])
def test_open_defects_stand_worst_first_in_one_query(
    rows: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    vessel = a_vessel()
    item = an_item(vessel)
    for _ in range(rows):
        for effect in ("none", "degrades", None, "disables"):
            a_defect(vessel, effect=effect, equipment=item)
    a_defect(vessel, closed_at=AT, closed_by="x", how_mended="y")
    a_defect(a_vessel())

    with django_assert_num_queries(1):
        found = [(row.effect, row.equipment) for row in open_defects(vessel.pk)]

    assert [effect for effect, _ in found] == [e for e in ("disables", None, "degrades", "none") for _ in range(rows)]


def test_mended_defects_stand_newest_first() -> None:
    vessel = a_vessel()
    for days in (1, 3, 2):
        closed = AT + timedelta(days=days)
        a_defect(vessel, title=f"after {days}", closed_at=closed, closed_by="x", how_mended="y")

    assert [row.title for row in mended_defects(vessel.pk)] == ["after 3", "after 2", "after 1"]


@pytest.mark.parametrize(
    ("words", "guessed"),
    [
        ("The forward bilge pump is slow", "Bilge pump, forward"),
        ("BILGE PUMPS FORWARD!", "Bilge pump, forward"),
        ("a pump", None),
        ("it is bad", None),
        ("", None),
    ],
)
def test_a_piece_is_guessed_only_where_one_fits_better_than_all_others(words: str, guessed: str | None) -> None:
    vessel = a_vessel()
    fitted = [an_item(vessel, name=name) for name in ("Bilge pump, forward", "Bilge pump, aft", "Seawater pump")]

    found = guess_equipment(words, fitted)

    assert (found.name if found else None) == guessed


def test_nothing_fitted_nothing_guessed() -> None:
    assert guess_equipment("bilge pump", []) is None
