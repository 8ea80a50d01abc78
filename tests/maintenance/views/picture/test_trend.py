import math
from dataclasses import replace
from typing import Any

import pytest
from django.template.loader import render_to_string

from maintenance.views.picture.trend import Trend, crossings, draw_trend, fitted_at

NAN = math.nan
PLAIN = Trend(
    points=[(0, 10), (10, 12), (20, 14), (30, 16)], slope=0.2, interval=(0.1, 0.4), limit=20,
    limit_words="limit 20, set by the owner", today=30, haul_out=80, haul_out_words="haul-out 4 Oct",
    labels=[(0, "0", "28 Mar"), (30, "30", "14 May")], x_words="engine hours", end=100,
)  # fmt: skip


def test_the_line_is_the_slope_through_the_median_of_what_it_leaves_over() -> None:
    assert fitted_at(PLAIN, 30) == pytest.approx(16)
    assert fitted_at(replace(PLAIN, points=[(0, 10), (10, 12), (20, 99)]), 0) == pytest.approx(10)


def test_the_limit_is_crossed_between_the_edges_of_the_interval() -> None:
    assert crossings(PLAIN) == pytest.approx([40, 70])


@pytest.mark.parametrize(
    ("interval", "found"), [((-0.1, 0.4), [40]), ((0, 0), []), ((NAN, NAN), []), ((-0.3, -0.1), [])]
)
def test_an_edge_that_never_gets_there_is_left_out(interval: tuple[float, float], found: list[float]) -> None:
    assert crossings(replace(PLAIN, interval=interval)) == pytest.approx(found)


def test_a_limit_reached_from_above() -> None:
    falling = replace(
        PLAIN, points=[(0, 38), (10, 35), (20, 32), (30, 29)], slope=-0.3, interval=(-0.4, -0.2), limit=20
    )

    assert crossings(falling) == pytest.approx([52.5, 75])


def test_the_picture_is_whole() -> None:
    picture = draw_trend(PLAIN)

    assert len(picture.dots) == 4
    assert picture.fan.startswith("M")
    assert [mark.x for mark in picture.crossings] == ["40", "70"]
    assert picture.today is not None
    assert picture.haul_out is not None
    assert (picture.today.x, picture.haul_out.x, picture.haul_out.anchor) == ("30", "80", "end")
    assert [level.text for level in picture.levels] == ["0", "10", "20", "30", "40"]


@pytest.mark.parametrize(
    "changes",
    [
        {"slope": NAN, "interval": (NAN, NAN)},
        {"limit": NAN},
        {"today": NAN, "haul_out": NAN},
        {"points": [], "labels": []},
        {"points": [(0, 10)], "slope": NAN, "interval": (NAN, NAN)},
    ],
)
def test_what_is_not_known_is_left_out(changes: Any) -> None:
    picture = draw_trend(replace(PLAIN, **changes))

    html = render_to_string("maintenance/picture/trend.svg.html", {"picture": picture, "x_words": "engine hours"})

    assert "nan" not in html
    if math.isnan(changes.get("slope", 0)):
        assert picture.past is None
        assert picture.fan == ""
