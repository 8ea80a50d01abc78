"""The paper of a chart: what is on it, true to scale, and the labels of its graticule."""

import math

import numpy as np
import pytest

from readiness.calc.track import distance_m
from readiness.views.picture.chart import BOX_WIDE, land_path, meridians, paper_around, parallels, scale_of

COAST = (np.array([46.5, 46.5, 46.47]), np.array([-15.0, -13.84, -13.84]))


@pytest.mark.parametrize(
    ("lat", "lon", "shape"),
    [
        ([46.5, 46.5], [-15.0, -13.8], "long"),
        ([46.0, 46.6], [-15.0, -13.9], "wide"),
        ([46.0, 46.6], [-15.0, -14.1], "square"),
        ([45.0, 47.0], [-15.0, -14.9], "tall"),
        ([46.5, 46.5], [-15.0, -15.0], "tall"),
    ],
)
def test_the_shape_follows_the_route_and_everything_is_on_the_paper(
    lat: list[float], lon: list[float], shape: str
) -> None:
    paper = paper_around(np.array(lat), np.array(lon))
    x, y = paper.shares(np.array(lat), np.array(lon))

    assert paper.shape == shape
    assert ((x > 0.09) & (x < 0.91) & (y > 0.09) & (y < 0.91)).all()


def test_a_mile_east_is_as_long_on_the_paper_as_a_mile_north() -> None:
    paper = paper_around(*COAST)
    lat, lon = np.array([46.5, 46.55, 46.5]), np.array([-14.4, -14.4, -14.3])
    x, y = paper.shares(lat, lon)

    north = (y[0] - y[1]) * paper.height / float(distance_m(lat[0], lon[0], lat[1], lon[1]))
    east = (x[2] - x[0]) * paper.width / float(distance_m(lat[0], lon[0], lat[2], lon[2]))

    assert north == pytest.approx(east, rel=2e-3)


def test_the_bar_of_the_scale_is_as_long_as_it_says() -> None:
    paper = paper_around(*COAST)
    scale = scale_of(paper)

    across = float(scale.width) / 100 * paper.width
    length = float(distance_m(46.47, -14.4, 46.47, -14.4 + across))

    assert scale.text == "10 nmi"
    assert length / 1852 == pytest.approx(10, rel=5e-3)


def test_the_graticule_is_labelled_in_degrees_and_minutes() -> None:
    paper = paper_around(*COAST)

    assert [line.text for line in meridians(paper)] == ["15°00′W", "14°30′W", "14°00′W"]
    assert "46°30′N" in [line.text for line in parallels(paper)]
    assert all(0 <= float(line.at) <= 100 for line in (*meridians(paper), *parallels(paper)))


@pytest.mark.parametrize(("east", "labels"), [(-179.0, "180°"), (1.0, "0°00′")])
def test_labels_cross_the_date_line_and_the_meridian_of_greenwich(east: float, labels: str) -> None:
    paper = paper_around(np.array([0.5, -0.5]), np.array([east - 2, east]))

    assert any(labels in line.text for line in meridians(paper))
    assert any(line.text == "0°00′" for line in parallels(paper))


def test_a_chart_over_the_date_line_is_as_small_as_elsewhere() -> None:
    paper = paper_around(np.array([10.0, 10.0]), np.array([179.5, -179.5]))
    x, _ = paper.shares(np.array([10.0, 10.0]), np.array([179.5, -179.5]))

    assert paper.width < 2
    assert x[1] > x[0]


def test_land_beyond_the_paper_is_cut_and_land_elsewhere_is_not_drawn() -> None:
    paper = paper_around(*COAST)
    north = np.array([(-30, 46.55), (0, 46.55), (0, 60), (-30, 60), (-30, 46.55)])

    path = land_path(paper, [[north], [north - np.array([0.0, 40.0])]])

    numbers = [int(part) for corner in path.strip("MZ").split("L") for part in corner.split()]
    assert path.count("M") == 1
    assert max(numbers) <= BOX_WIDE * 1.06
    assert min(numbers) >= -BOX_WIDE * 0.06


def test_a_hole_is_drawn_as_a_ring_of_its_own() -> None:
    paper = paper_around(*COAST)
    outer = np.array([(-15, 46.3), (-14, 46.3), (-14, 46.6), (-15, 46.6), (-15, 46.3)])
    hole = np.array([(-14.8, 46.4), (-14.2, 46.4), (-14.2, 46.5), (-14.8, 46.5), (-14.8, 46.4)])

    assert land_path(paper, [[outer, hole]]).count("Z") == 2


def test_so_many_points_of_a_shore_as_the_box_can_tell_apart() -> None:
    paper = paper_around(*COAST)
    turn = np.linspace(0, 2 * math.pi, 50_001)
    ring = np.column_stack([-14.4 + 0.3 * np.cos(turn), 46.5 + 0.1 * np.sin(turn)])

    assert land_path(paper, [[ring]]).count("L") < 4 * BOX_WIDE
