"""The picture of a route: its points, names that hide nothing, ticks across the course, and a geodesic that bends."""

import re
from itertools import combinations

import numpy as np
import pytest
from django.template.loader import render_to_string
from hypothesis import given, settings
from hypothesis import strategies as st

from readiness.views.picture.chart_names import LETTER_PX, LINE_PX, Named, place_names
from readiness.views.picture.route import Moment, Place, Route, Waypoint, draw_route, line_of

POINTS = [
    Waypoint("Ostrel Haven", 46.5, -15.0),
    Waypoint("Skarn", 46.45, -14.4),
    Waypoint("Lock", 46.5, -13.84, "gate"),
]


def test_points_refuges_and_moments_are_drawn_where_they_are() -> None:
    picture = draw_route(
        Route(POINTS, [False, False], [Place("Vessary Roads", 46.46, -13.84)], [Moment("08:00", 46.48, -14.7, 90.0)])
    )

    assert [spot.number for spot in picture.points] == [1, 2, 3]
    assert [spot.gate for spot in picture.points] == ["", "", "gate"]
    assert [spot.name for spot in picture.refuges] == ["Vessary Roads"]
    assert [float(spot.x) for spot in picture.points] == sorted(float(spot.x) for spot in picture.points)
    assert not picture.has_land


@pytest.mark.parametrize(
    ("course", "dx", "dy"), [(0.0, 7, 0), (90.0, 0, 7), (45.0, 4.9, 4.9), (180.0, -7, 0), (270.0, 0, -7)]
)
def test_a_tick_lies_across_the_course(course: float, dx: float, dy: float) -> None:
    tick = draw_route(Route(POINTS, [False, False], moments=[Moment("08:00", 46.48, -14.7, course)])).moments[0]

    assert float(tick.dx) == pytest.approx(dx, abs=0.06)
    assert float(tick.dy) == pytest.approx(dy, abs=0.06)
    assert (float(tick.from_x), float(tick.from_y)) == (-float(tick.dx), -float(tick.dy))


@pytest.mark.parametrize("course", [0.0, 90.0, 180.0, 225.0, 270.0, 359.9])
def test_every_length_of_the_drawing_is_a_number_on_any_course(course: float) -> None:
    picture = draw_route(Route(POINTS, [False, False], moments=[Moment("08:00", 46.48, -14.7, course)]))

    drawn = render_to_string("readiness/picture/route.svg.html", {"picture": picture})

    lengths = re.findall(r' (?:x|y|x1|y1|x2|y2|dx|dy|r)="([^"]*)"', drawn)
    assert len(lengths) > 20
    assert not [one for one in lengths if not re.fullmatch(r"-?\d+(\.\d+)?%?", one)]


def test_a_rhumb_line_is_straight_on_the_chart_and_a_geodesic_bends_to_the_pole() -> None:
    ends = np.array([50.0, 50.0]), np.array([-40.0, -10.0])

    straight, bent = (line_of(*ends, [kind]) for kind in (False, True))

    assert np.ptp(straight[0]) == pytest.approx(0.0, abs=1e-9)
    assert bent[0].max() > 50.9


def test_points_on_top_of_one_another_show_one_number() -> None:
    crowd = [Waypoint(str(place), 46.5, -15.0 + 0.001 * place) for place in range(5)] + [Waypoint("far", 46.5, -14.0)]

    picture = draw_route(Route(crowd, [False] * 5))

    assert [spot.shows_number for spot in picture.points] == [True, False, False, False, False, True]


@pytest.mark.parametrize(
    ("west", "east", "anchor"), [(-14.99, -14.2, "end"), (-14.7, -14.01, "start"), (-15.0, -14.0, "")]
)
def test_the_label_of_a_parallel_stands_where_no_point_does(west: float, east: float, anchor: str) -> None:
    corners = [Place("a", 46.2, -15.0), Place("b", 46.8, -14.0)]
    picture = draw_route(Route([Waypoint("x", 46.5, west), Waypoint("y", 46.5, east)], [False], corners))

    label = min(picture.parallels, key=lambda line: abs(float(line.at) - 50))

    assert label.anchor == anchor
    assert bool(label.text) == bool(anchor)


def test_a_route_that_goes_nowhere_is_still_drawn() -> None:
    picture = draw_route(Route([POINTS[0], POINTS[0]], [False]))

    assert len(picture.points) == 2
    assert picture.track == ""


SHARES = st.tuples(
    st.floats(0.1, 0.9), st.floats(0.1, 0.9), st.sampled_from(["A", "Skarn Narrows", "Hallorn Pool, off"])
)


@settings(max_examples=60, deadline=None)
@given(st.lists(SHARES, min_size=1, max_size=14), st.sampled_from([326.0, 800.0]))
def test_no_name_hides_another_name_or_another_point(wanted: list[tuple[float, float, str]], width: float) -> None:
    named = [Named(*one) for one in wanted]
    names = place_names(named, [], width, width / 1.6)

    boxes = []
    for one, name in zip(named, names, strict=True):
        if name is None:
            continue
        x, y = one.x * width + float(name.dx), one.y * width / 1.6 + float(name.dy)
        long = len(name.text) * LETTER_PX
        left = x - {"start": 0.0, "middle": long / 2, "end": long}[name.anchor]
        boxes.append((left, y - LINE_PX + 3, left + long, y + 3))
        others = [other for other in named if other is not one]
        assert not any(
            left < other.x * width < left + long and y - LINE_PX + 3 < other.y * width / 1.6 < y + 3 for other in others
        )
    for a, b in combinations(boxes, 2):
        assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_a_name_keeps_clear_of_the_track() -> None:
    line = [(share / 100, 0.5) for share in range(101)]

    names = place_names([Named(0.5, 0.5, "Skarn Narrows")], line, 326.0, 200.0)

    assert names[0] is not None
    assert abs(float(names[0].dy)) > LINE_PX / 2


def test_every_coordinate_of_the_paths_is_a_whole_number_in_the_box() -> None:
    picture = draw_route(Route(POINTS, [False, True]))

    assert re.fullmatch(r"M\d+ \d+(L\d+ \d+)+", picture.track)
