"""A route drawn by hand: a point put in by a click, moved by dragging and by arrow keys, all of it in the fields."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.journeys.conftest import Opener
from vessel.calc.position import parse_angle

pytestmark = pytest.mark.browser
SIZES = ("desktop", "phone")


def field(page: Page, number: int, name: str) -> Locator:
    return page.locator(f"#id_p{number - 1}-{name}")


def position(page: Page, number: int) -> tuple[float, float]:
    """Where the fields say a point is."""
    lat, lon = (field(page, number, name).input_value() for name in ("lat", "lon"))
    return parse_angle(lat, "latitude"), parse_angle(lon, "longitude")


def centre(of: Locator) -> tuple[float, float]:
    box = of.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def waypoint(page: Page, number: int) -> Locator:
    return page.locator(f".waypoint[data-number='{number}']")


def open_water(page: Page) -> tuple[float, float]:
    """A place on the chart well south of the second segment."""
    here, there = centre(waypoint(page, 2)), centre(waypoint(page, 3))
    return (here[0] + there[0]) / 2, here[1] + 40


@pytest.mark.parametrize("size", SIZES)
def test_a_click_on_the_water_puts_a_point_into_the_nearest_segment(opened: Opener, size: str) -> None:
    page = opened("/legs/1/route/", size=size)
    before = [position(page, number) for number in (2, 3)]

    page.mouse.click(*open_water(page))

    expect(page.locator(".points > li")).to_have_count(7)
    expect(field(page, 3, "name")).to_have_value("Point 3")
    lat, lon = position(page, 3)
    assert [position(page, number) for number in (2, 4)] == before
    assert before[0][1] < lon < before[1][1]
    assert lat < before[0][0] - 0.02
    expect(page.locator("#sketch")).to_contain_text("in 6 segments")


def test_a_point_that_is_dragged_lands_in_its_fields_and_the_server_sums_again(opened: Opener) -> None:
    page = opened("/legs/1/route/", size="desktop")
    before, other = position(page, 4), position(page, 5)
    said = page.locator("#way-4").inner_text()

    page.mouse.move(*centre(waypoint(page, 4)))
    page.mouse.down()
    x, y = centre(waypoint(page, 4))
    page.mouse.move(x + 10, y + 30)
    page.mouse.move(x + 20, y + 60)
    page.mouse.up()

    expect(page.locator("#way-4")).not_to_have_text(said)
    lat, lon = position(page, 4)
    assert lat < before[0] - 0.03
    assert lon > before[1]
    assert position(page, 5) == other
    expect(page.locator("#id_p3-name")).to_have_value("Hallorn Pool, off")


def test_arrow_keys_move_the_point_that_is_chosen_and_keep_it_chosen(opened: Opener) -> None:
    page = opened("/legs/1/route/", size="desktop")
    before = position(page, 4)
    waypoint(page, 4).focus()

    page.keyboard.press("Shift+ArrowDown")
    expect(page.locator("#way-3")).not_to_have_text(re.compile("^090"))
    expect(waypoint(page, 4)).to_be_focused()
    page.keyboard.press("ArrowRight")

    lat, lon = position(page, 4)
    assert lat < before[0]
    assert lon > before[1]


def test_a_point_dragged_over_land_is_said_and_saving_keeps_it(opened: Opener) -> None:
    page = opened("/legs/1/route/", size="desktop")
    field(page, 4, "lat").fill("46 36 N")
    field(page, 4, "lat").dispatch_event("change")

    expect(page.locator("#sketch")).to_contain_text(re.compile(r"Segment 3 crosses land near 46°\d\d\.\d\d′ N 014°"))
    field(page, 4, "lat").fill("46 29.9 N")
    page.get_by_role("button", name="Save the route").click()

    expect(page.locator(".messages")).to_contain_text("The route is saved")
    page.goto("/legs/1/route/")
    assert position(page, 4)[0] == pytest.approx(46 + 29.9 / 60, abs=1e-4)


def test_without_scripts_a_point_is_put_in_typed_and_saved(opened: Opener) -> None:
    page = opened("/legs/1/route/", scripts=False)
    count = page.locator(".points > li").count()
    page.locator("#do-in-0").tap()
    expect(page.locator(".points > li")).to_have_count(count + 1)

    field(page, 2, "name").fill("Off the flats")
    field(page, 2, "lat").fill("46 29.8 N")
    field(page, 2, "lon").fill("14°50'30\"W")
    page.get_by_role("button", name="Draw it as typed").tap()
    expect(page.locator("#sketch")).to_contain_text(f"in {count} segments")
    expect(field(page, 2, "name")).to_have_value("Off the flats")
    page.get_by_role("button", name="Save the route").tap()

    expect(page.locator(".messages")).to_contain_text("The route is saved")
