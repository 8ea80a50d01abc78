"""The chapters of a handover cost the same number of queries however much is in them, and say nothing that is private."""

from datetime import datetime
from typing import Any

import pytest
from django.utils.module_loading import import_string

from tests.factories.handover import a_lived_in_vessel
from tests.factories.maintenance import SOUND as WORK
from tests.factories.vessel import SOUND as ABOARD
from vessel.queries.handover import Chapter

pytestmark = pytest.mark.django_db
COST = {
    "vessel.queries.handover.particulars": 3,
    "vessel.queries.handover.equipment": 3,
    "vessel.queries.handover.readings": 1,
    "vessel.queries.handover.log": 1,
    "vessel.queries.handover.history": 1,
    "maintenance.queries.handover.defects": 1,
    "maintenance.queries.handover.jobs": 3,
    "maintenance.queries.handover.services": 2,
    "maintenance.queries.handover.spares": 1,
}


def test_every_chapter_of_the_list_has_its_cost_stated(settings: Any) -> None:
    own = [path for path in settings.HANDOVER_CHAPTERS if not path.startswith("readiness.")]

    assert set(own) == set(COST)


@pytest.mark.parametrize("more", [0, 2])
@pytest.mark.parametrize("path", COST)
def test_a_chapter_costs_the_same_however_much_is_in_it(
    at: datetime, path: str, more: int, django_assert_num_queries: Any
) -> None:
    vessel = a_lived_in_vessel(at)
    nouns = {**ABOARD, **WORK}
    for _ in range(more):
        for kind in ("Equipment", "LogEntry", "Defect", "Job", "ServiceItem", "Spare", "Series"):
            next(make for model, make in nouns.items() if model.__name__ == kind)(vessel=vessel)

    with django_assert_num_queries(COST[path]):
        chapter: Chapter = import_string(path)(vessel.pk)

    assert chapter.rows
    assert {len(row) for row in chapter.rows} == {len(chapter.columns)}


def test_an_item_shows_its_newest_test_and_all_its_feeds(at: datetime) -> None:
    vessel = a_lived_in_vessel(at)

    chapter: Chapter = import_string("vessel.queries.handover.equipment")(vessel.pk)

    names = [column.name for column in chapter.columns]
    oil = next(dict(zip(names, row, strict=True)) for row in chapter.rows if row[0] == "EN-09")
    assert (oil["last_test"], oil["last_test_passed"], oil["fed_by"]) == ("Dry.", True, "")
    untested = next(dict(zip(names, row, strict=True)) for row in chapter.rows if row[0] != "EN-09")
    assert (untested["last_test"], untested["last_test_passed"]) == (None, None)
