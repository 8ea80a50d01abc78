"""A coastline taken in, replaced, read back near a line, and taken away."""

from datetime import datetime

import numpy as np
import pytest

from readiness.actions.coastline import take_coastline_away, take_in_coastline
from readiness.feeds.coastline import Area, CoastFile
from readiness.models import Coastline, LandPolygon
from readiness.queries.coastline import coast_near
from tests.factories.vessel import a_vessel
from vessel.errors import BadInput, Refused
from vessel.models import HistoryEntry, Vessel

pytestmark = pytest.mark.django_db
SQUARE = np.array([(-15.0, 46.0), (-14.0, 46.0), (-14.0, 46.5), (-15.0, 46.5), (-15.0, 46.0)])
FAR = SQUARE - np.array([0.0, 20.0])
FILE = CoastFile(((SQUARE,), (FAR,)), Area(20.0, -17.0, 47.5, -12.0), 10)


def taken(vessel: Vessel, at: datetime, file: CoastFile = FILE) -> Coastline:
    return take_in_coastline(vessel=vessel, key="coast", name="Coast", file=file, by="tests", at=at)


def test_a_coastline_is_held_with_its_polygons_and_a_line_in_history(at: datetime) -> None:
    vessel = a_vessel()

    row = taken(vessel, at)

    assert row.polygons.count() == 2
    assert row.polygons.get(number=1).rings == [SQUARE.tolist()]
    assert HistoryEntry.objects.filter(vessel_id=vessel.pk, what__contains="Coastline written down: Coast").count() == 1


def test_one_of_the_same_key_is_replaced(at: datetime) -> None:
    vessel = a_vessel()
    taken(vessel, at)

    row = taken(vessel, at, CoastFile(((FAR,),), Area(20.0, -17.0, 30.0, -12.0), 5))

    assert Coastline.objects.filter(vessel=vessel).count() == 1
    assert row.polygons.count() == 1
    assert (row.version, row.points) == (2, 5)


def test_an_area_that_is_none_is_refused_and_nothing_written(at: datetime) -> None:
    with pytest.raises(BadInput):
        taken(a_vessel(), at, CoastFile(((SQUARE,),), Area(30.0, -17.0, 20.0, -12.0), 5))

    assert not Coastline.objects.exists()
    assert not LandPolygon.objects.exists()


def test_it_is_taken_away_only_as_it_was_seen(at: datetime) -> None:
    row = taken(a_vessel(), at)

    with pytest.raises(Refused):
        take_coastline_away(coastline=row, seen_version=7, by="tests", at=at)
    take_coastline_away(coastline=row, seen_version=1, by="tests", at=at)

    assert not LandPolygon.objects.exists()


def test_only_land_near_the_line_is_read_in_two_queries(at: datetime, django_assert_num_queries: object) -> None:
    vessel = a_vessel()
    taken(vessel, at)
    line = np.array([45.9, 45.9]), np.array([-15.0, -14.0])

    with django_assert_num_queries(2):  # type: ignore[operator]
        coast = coast_near(vessel.pk, *line)

    assert len(coast.polygons) == 1
    assert coast.names == ("Coast",)
    assert coast.shore_off(*line)[0] == pytest.approx(0.1 * 60 * 1852, rel=2e-3)


def test_another_boats_coast_is_not_hers(at: datetime) -> None:
    taken(a_vessel(), at)

    coast = coast_near(a_vessel().pk, np.array([45.9]), np.array([-14.5]))

    assert coast.polygons == ()
    assert np.isnan(coast.shore_off(np.array([45.9]), np.array([-14.5]))).all()


@pytest.mark.parametrize(
    ("south", "known"), [(45.7, True), (45.85, False), (46.0, False)], ids=["drawn farther", "ends nearer", "outside"]
)
def test_a_shore_farther_off_than_the_edge_of_what_is_drawn_is_not_known(
    south: float, known: bool, at: datetime
) -> None:
    vessel = a_vessel()
    taken(vessel, at, CoastFile(((SQUARE,),), Area(south, -17.0, 47.5, -12.0), 5))
    point = np.array([45.88]), np.array([-14.5])

    off, toward = coast_near(vessel.pk, *point).shore_off(*point)

    assert np.isfinite(off) == known
    assert np.isfinite(toward) == known


@pytest.mark.parametrize("lon", [179.9, -179.9])
def test_the_date_line_is_an_ordinary_meridian(lon: float, at: datetime) -> None:
    vessel = a_vessel()
    ring = np.array([(179.5, 10.0), (-179.5, 10.0), (-179.5, 10.5), (179.5, 10.5), (179.5, 10.0)])
    taken(vessel, at, CoastFile(((ring,),), Area(8.0, 178.0, 12.0, 182.0), 5))
    point = np.array([9.9]), np.array([lon])

    off, toward = coast_near(vessel.pk, *point).shore_off(*point)

    assert off == pytest.approx(0.1 * 60 * 1852, rel=6e-3)
    assert toward == pytest.approx(0.0, abs=1e-6)
