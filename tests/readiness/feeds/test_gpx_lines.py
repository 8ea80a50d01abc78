"""What a GPX file offers as a way: said, and thinned to few enough points."""

import numpy as np
import pytest

from readiness.feeds.gpx import GpxFile, GpxPoint, GpxRoute
from readiness.feeds.gpx_lines import FEW, MOST, lines_of, thinned


def wave(count: int) -> tuple[GpxPoint, ...]:
    """A winding line forty miles long."""
    share = np.linspace(0, 1, count)
    return tuple(
        GpxPoint(46.5 + 0.01 * float(np.sin(40 * part)), -15.0 + float(part), f"{place}")
        for place, part in enumerate(share)
    )


def file(*routes: GpxRoute, lines: tuple[GpxRoute, ...] = ()) -> GpxFile:
    return GpxFile("1.1", None, (), routes, (), lines=lines)


def test_routes_come_before_tracks_and_what_leads_nowhere_is_left_out() -> None:
    offered = lines_of(file(GpxRoute("Out", wave(3)), GpxRoute("Nowhere", wave(1)), lines=(GpxRoute(None, wave(2)),)))

    assert [told.partition(":")[0] for told, _ in offered] == ["Route Out", "Track without a name"]
    assert offered[0][0].endswith("3 points.")


def test_few_points_stay_as_they_are() -> None:
    assert thinned(wave(FEW)) == (list(wave(FEW)), 0.0)


@pytest.mark.parametrize("count", [FEW + 1, 5_000])
def test_many_points_are_thinned_and_how_far_off_they_lay_is_said(count: int) -> None:
    points, within_m = thinned(wave(count))
    ((told, _),) = lines_of(file(GpxRoute("Out", wave(count))))

    assert 2 <= len(points) <= FEW
    assert (points[0], points[-1]) == (wave(count)[0], wave(count)[-1])
    assert within_m in {20.0, 40.0, 80.0, 160.0}
    assert f"{count:,} points, thinned to {len(points)}: none left out lies farther than {within_m:.0f} m" in told


def test_of_very_many_lines_the_first_are_offered() -> None:
    assert len(lines_of(file(*[GpxRoute("x", wave(2))] * (MOST + 5)))) == MOST
