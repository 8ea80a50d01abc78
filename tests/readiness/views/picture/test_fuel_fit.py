"""The picture of litres used against litres expected: same scales, one line each for table and fit."""

import math
import re

import numpy as np
import pytest
from django.template.loader import render_to_string

from readiness.calc.fuel import Fit, fitted
from readiness.views.picture.fuel_fit import BOX, FuelFitPicture, draw_fuel_fit

NAN = math.nan
NO_FIT = Fit(NAN, NAN, NAN, 1)
WIDE = ((10.0, 11.0), (50.0, 52.0), (100.0, 130.0))
NEAR = ((27.0, 27.4), (27.0, 28.3), (27.0, 27.9))


def drawn(*runs: tuple[float, float]) -> FuelFitPicture:
    expected, used = np.array(runs).T
    picture = draw_fuel_fit(runs, fitted(used, expected))
    assert picture is not None
    return picture


def ends(path: str) -> list[tuple[float, float]]:
    """Points of a path as shares across and up."""
    return [(float(x) / BOX, 1 - float(y) / BOX) for x, y in re.findall(r"(-?\d+) (-?\d+)", path)]


def test_nothing_is_drawn_while_no_run_can_be_compared() -> None:
    assert draw_fuel_fit([], NO_FIT) is None
    assert draw_fuel_fit([(math.inf, 5.0), (NAN, 5.0)], NO_FIT) is None


def test_the_scales_begin_at_nothing_where_runs_are_far_apart() -> None:
    picture = drawn(*WIDE)

    assert picture.begins == ""
    assert [level.text for level in picture.levels] == ["0", "50", "100", "150"]
    assert ends(picture.table) == [(0, 0), (1, 1)]
    assert [float(dot.x) for dot in picture.dots] == pytest.approx([100 / 15, 500 / 15, 1000 / 15], abs=0.01)
    assert [100 - float(dot.y) for dot in picture.dots] == pytest.approx([110 / 15, 520 / 15, 1300 / 15], abs=0.01)


def test_runs_alike_are_drawn_large_and_where_the_scales_begin_is_said() -> None:
    picture = drawn(*NEAR)

    assert picture.begins == "26.5 L"
    assert [level.text for level in picture.levels] == ["26.5", "27.0", "27.5", "28.0", "28.5"]
    assert [label.text for label in picture.labels] == [level.text for level in picture.levels]
    assert len({dot.x for dot in picture.dots}) == 1
    assert len({dot.y for dot in picture.dots}) == 3


@pytest.mark.parametrize("runs", [WIDE, NEAR, ((0.4, 0.5), (0.41, 0.5), (0.39, 0.4)), ((5.0, 5.0),) * 3])
def test_every_run_lies_inside_and_the_table_goes_from_corner_to_corner(runs: tuple[tuple[float, float], ...]) -> None:
    picture = drawn(*runs)

    assert ends(picture.table) == [(0, 0), (1, 1)]
    assert all(0 < float(place) < 100 for dot in picture.dots for place in (dot.x, dot.y))
    assert 4 <= len(picture.levels) <= 7
    assert len({level.text for level in picture.levels}) == len(picture.levels)


def test_the_fit_runs_at_its_share_of_the_table_with_its_middle_half_about_it() -> None:
    picture = drawn((50.0, 55.0), (100.0, 120.0), (100.0, 130.0))

    (_, left), (_, right) = ends(picture.fit)
    assert (left, right) == (0, 1.2)
    assert [up for _, up in ends(picture.band)] == pytest.approx([0, 1.15, 1.25, 0], abs=0.001)


def test_too_few_runs_are_dots_without_a_line() -> None:
    picture = draw_fuel_fit([(50.0, 55.0)], NO_FIT)

    assert picture is not None
    assert (len(picture.dots), picture.fit, picture.band) == (1, "", "")
    assert "Line: the median" not in render_to_string("readiness/picture/fuel_fit.svg.html", {"picture": picture})


def test_the_picture_says_what_it_shows_and_is_hidden_from_who_reads_the_table() -> None:
    text = render_to_string("readiness/picture/fuel_fit.svg.html", {"picture": drawn(*NEAR)})

    assert text.count("<circle") == 3
    assert text.count("<svg") - 1 == text.count('aria-hidden="true"') == 2
    assert "Both begin at 26.5 L." in text
    assert "Line: the median of the runs." in text
    assert "style=" not in text
