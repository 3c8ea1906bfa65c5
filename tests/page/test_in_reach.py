"""What is in use stays under the finger, and is large enough for it."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.page.opened import DEMO, open_page
from tests.page.story import Visitor

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PANELS = ("rider", "day", "kitchen", "wishes", "chances", "beside", "along", "after")
LEAST_PX = 44
SMALL = """least => [...document.querySelectorAll('#bar, #side')]
  .flatMap((room) => [...room.querySelectorAll('button, input:not([type=checkbox]), select')])
  .map((e) => [e.textContent || e.ariaLabel || e.id, e.getBoundingClientRect()])
  .filter(([, box]) => box.width && (box.width < least || box.height < least))
  .map(([name, box]) => `${name} ${box.width} x ${box.height}`)"""


def box_of(page: Page, name: str) -> Any:
    return page.get_by_role("button", name=name).bounding_box()


@pytest.mark.parametrize("size", ["desk", "phone"])
def test_what_moved_pushes_nothing_away_that_is_in_use(visit: Callable[[str], Visitor], size: str) -> None:
    visitor = visit(size)
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("kitchen")
    item = visitor.bites()[0]["item"]
    name = f"one {item} less"
    before = box_of(page, name)
    for _ in range(20):
        if page.locator("#moved").is_visible():
            break
        visitor.after(lambda: page.get_by_role("button", name=name).click())
    moved = page.locator("#moved").bounding_box()
    assert moved is not None
    assert moved["y"] + moved["height"] <= page.evaluate("innerHeight") + 1
    assert box_of(page, name) == before
    assert before["y"] + before["height"] <= moved["y"]
    page.get_by_role("button", name="Keep it").press("Enter")
    assert page.evaluate("document.activeElement.textContent") == "Kitchen"


def test_quick_steps_are_all_counted(visit: Callable[[str], Visitor]) -> None:
    """The answer to the first step comes between the second and the third, while the second is on its way."""
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("kitchen")
    held = visitor.hold("**/change", times=2)
    less = page.get_by_role("button", name="one fig slice less")
    count = page.get_by_label("how many of fig slice")
    first = int(count.input_value())
    less.click()
    one = held.next()
    less.click()
    one.continue_()
    other = held.next()
    less.click()
    other.continue_()
    name = "each.name === 'fig slice'"
    visitor.until(f"ride.state.settings.pantry.item.find((each) => {name}).count === {first - 3}")
    assert count.input_value() == str(first - 3)


def test_every_target_is_large_enough_for_a_finger(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("phone")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    for panel in PANELS:
        visitor.open_panel(panel)
        assert page.evaluate(SMALL, LEAST_PX) == [], panel


def test_a_bottle_and_a_place_are_added_by_keyboard(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("kitchen")
    for kind, held in (
        ("bottle", {"holds_ml": 750}),
        ("bottle", {"holds_ml": 750}),
        ("pocket", {"holds_items": 6}),
    ):
        one_more = page.get_by_role("button", name=f"One more {kind}")
        visitor.after(partial(one_more.press, "Enter"))
        last = visitor.state()["settings"]["pantry"]["container"][-1]
        assert (last["kind"], held.items() <= last.items()) == (kind, True)
    names = [each["name"] for each in visitor.state()["settings"]["pantry"]["container"][-3:]]
    assert names == ["bottle 1", "bottle 2", "pocket 1"]
    assert "bottle 2" in page.locator("#panel").inner_text()
    visitor.open_panel("day")
    page.get_by_label("kilometre of the place").fill("22,5 km")
    visitor.after(lambda: page.get_by_role("button", name="Add a place there").press("Enter"))
    (feed,) = visitor.state()["settings"]["day"]["feed"]
    assert feed["at_km"] == 22.5
    page.get_by_label("kilometre of the place").fill("far")
    page.get_by_role("button", name="Add a place there").press("Enter")
    page.get_by_text("At is far: it may be 0 to 2000 km.").wait_for()


def test_a_ride_taken_off_elsewhere_and_a_server_that_ended_are_said(
    browser: Browser, tmp_path: Path
) -> None:
    opened = open_page(tmp_path, *DEMO)
    context = browser.new_context()
    try:
        visitor = Visitor.at(context.new_page())
        visitor.enter(opened.address)
        visitor.drop_route("rolling-60.gpx")
        ride = visitor.page.evaluate("location.hash.slice(1)")
        fault = visitor.page.locator("#fault")
        opened.json(f"/rides/{ride}/take-off", "POST", {})
        fault.get_by_text("no such ride on this table").wait_for()
        (gone,) = opened.json("/start")["gone"]
        assert opened.json(f"/gone/{gone['number']}", "POST", {})["ride"] == ride
        fault.wait_for(state="hidden")
        visitor.open_panel("rider")
        visitor.after(lambda: visitor.field("rider.ftp_w").fill("251"))
        opened.end()
        fault.get_by_text("Nothing is lost: start it again").wait_for()
    finally:
        context.close()
        if opened.process.poll() is None:
            opened.end()


def test_a_tablet_that_is_turned_has_one_main_part_both_ways(visit: Callable[[str], Visitor]) -> None:
    """The panel that had covered the rooms stayed the main part beside them, for who goes by the parts."""
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    for width, height in ((800, 1280), (1280, 800), (800, 1280)):
        page.set_viewport_size({"width": width, "height": height})
        if width < height:
            visitor.open_panel("kitchen")
        main = "width => innerWidth === width && [...document.querySelectorAll('main, [role=main]')]"
        shown = "filter((e) => getComputedStyle(e).display !== 'none').length === 1"
        page.wait_for_function(f"{main}.{shown}", arg=width)


@pytest.mark.parametrize("width", [961, 1024, 1200, 1440])
def test_the_bar_is_one_line_on_a_desk(visit: Callable[[str], Visitor], width: int) -> None:
    visitor = visit("desk")
    page = visitor.page
    page.set_viewport_size({"width": width, "height": 768})
    visitor.drop_route("rolling-60.gpx")
    edges = "e => [e.getBoundingClientRect().top, e.getBoundingClientRect().bottom]"
    over, under = page.locator("#bar").evaluate(edges)
    buttons = [button.evaluate(edges) for button in page.locator("#bar button").all()]
    assert all(over < top < bottom < under for top, bottom in buttons)


@pytest.mark.parametrize(
    ("width", "height"), [(1200, 800), (1280, 720), (1280, 800), (1366, 768), (1440, 900), (1920, 1080)]
)
def test_the_profile_is_seen_down_to_its_kilometres(
    visit: Callable[[str], Visitor], width: int, height: int
) -> None:
    """On a desk of 1280 by 800 a panel left so little room that its axis was below the screen."""
    visitor = visit("desk")
    page = visitor.page
    page.set_viewport_size({"width": width, "height": height})
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("rider")
    hidden = page.locator("#profile").evaluate("e => e.scrollHeight - e.clientHeight")
    assert hidden <= 1
