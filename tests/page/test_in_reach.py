"""What is in use stays under the finger, and is large enough for it."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

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


def test_every_target_is_large_enough_for_a_finger(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("phone")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    for panel in PANELS:
        visitor.open_panel(panel)
        assert page.evaluate(SMALL, LEAST_PX) == [], panel
