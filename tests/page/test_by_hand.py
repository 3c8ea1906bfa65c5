"""A bite dragged along strip and map, exchanged and let go; a bottle filled; what bad luck advises, done."""

import re
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Locator, Page

from tests.page.story import Visitor

pytestmark = [pytest.mark.browser, pytest.mark.slow]

FAR_M = 400.0

ON_MAP = """at => import('/files/places.js').then(({ latLngAt }) => {
  const { left, top } = roadMap.getContainer().getBoundingClientRect();
  const { x, y } = roadMap.latLngToContainerPoint(latLngAt(at));
  return [left + x, top + y];
})"""


@pytest.fixture
def visitor(visit: Callable[[str], Visitor]) -> Visitor:
    held = visit("desk")
    held.drop_route("rolling-60.gpx")
    return held


def middle(mark: Locator) -> tuple[float, float]:
    mark.scroll_into_view_if_needed()
    box = mark.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def over_strip(page: Page, start: tuple[float, float]) -> Iterator[tuple[float, float]]:
    """Yield places on the screen up the strip from a row, as far as it is seen."""
    top = page.locator("#strip").bounding_box()
    assert top is not None
    for up in range(10, int(start[1] - top["y"]), 5):
        yield start[0], start[1] - up


def over_map(page: Page, at_m: float) -> Iterator[tuple[float, float]]:
    """Yield places on the screen along the road on the map, behind a bite."""
    for ahead_m in range(500, 6000, 250):
        x, y = page.evaluate(ON_MAP, at_m + ahead_m)
        yield x, y


@pytest.mark.parametrize("room", ["strip", "map"])
def test_a_bite_is_dragged_along_strip_and_map(visitor: Visitor, room: str) -> None:
    """While it is dragged the road shows where it may stand; where it may, it is dropped."""
    page = visitor.page
    bite = visitor.bites()[2]
    key = next(key for key, each in visitor.shown()["bites"].items() if each["at"] == bite["at"])
    mark = page.locator(f"#hours .row[data-key={key}]" if room == "strip" else f".map-mark[data-key={key}]")
    start = middle(mark)
    page.mouse.move(*start)
    page.mouse.down()
    tag = page.locator("#drag-tag")
    ways = over_strip(page, start) if room == "strip" else over_map(page, bite["at"])
    for x, y in ways:
        page.mouse.move(x, y)
        told = tag.inner_text()
        if "may stand here" in told and abs(float(told.split(" ")[0]) * 1000 - bite["at"]) > FAR_M:
            break
    else:
        raise AssertionError("there is no place to drop it")
    assert page.locator("#profile rect.footing.free").count() > 0
    assert page.locator("#profile rect.footing.hands").count() > 0
    assert page.locator("#map path.footing-line.hands").count() > 0
    visitor.after(page.mouse.up)
    (pin,) = visitor.state()["settings"]["pins"]["eat_here"]
    assert pin["item"] == bite["item"]
    assert pin["at_km"] == pytest.approx(float(told.split(" ")[0]), abs=0.06)  # told to 0.1 km
    assert page.locator(".footing-line, #profile rect.footing").count() == 0
    assert tag.is_hidden()
    visitor.after(page.locator("#undo").click)
    assert visitor.complaints == []


def test_on_its_card_a_bite_is_exchanged_and_let_go(visitor: Visitor) -> None:
    page = visitor.page
    key, bite = next((key, each) for key, each in visitor.shown()["bites"].items() if each["others"])
    page.locator(f"#hours .row[data-key={key}]").click()
    other = bite["others"][0]
    instead = page.get_by_label("Eat here")
    visitor.after(lambda: instead.select_option(index=1))
    (pin,) = visitor.state()["settings"]["pins"]["eat_here"]
    assert (pin["item"], pin["portions"]) == (other["item"], other["portions"])
    assert pin["at_km"] == pytest.approx(bite["at"] / 1000, abs=0.01)
    # its card stays open, and lets it go again: the last thing that is fixed
    visitor.after(page.locator("#by-hand").get_by_role("button", name="Let go").click)
    assert visitor.state()["settings"]["pins"]["eat_here"] == []
    assert page.locator("#by-hand .wrong").is_hidden()
    assert visitor.complaints == []


def test_a_bottle_is_filled_by_hand_and_let_alone_again(visitor: Visitor) -> None:
    page = visitor.page
    visitor.open_panel("kitchen")
    name, fill = next(iter(visitor.shown()["bottles"].items()))
    other = "water" if fill["item"] != "water" else "drink mix"
    line = page.locator("#panel li", has=page.locator("summary", has_text=name)).first
    line.locator("summary").first.click()
    select = line.get_by_label("Filled with")
    visitor.after(lambda: select.select_option(other))
    (wish,) = visitor.state()["settings"]["day"]["fill"]
    assert (wish["container"], wish["item"], wish["at_km"]) == (name, other, 0)
    assert visitor.shown()["bottles"][name]["item"] == other
    assert other in line.locator("summary").first.inner_text()
    visitor.after(lambda: select.select_option(""))
    assert visitor.state()["settings"]["day"]["fill"] == []
    assert visitor.shown()["bottles"][name] == fill
    assert visitor.complaints == []


def test_bad_luck_is_ridden_and_what_it_advises_is_done_and_undone(visitor: Visitor) -> None:
    page = visitor.page
    visitor.after(
        lambda: page.evaluate(
            """() => import('/files/ride.js').then(({ change }) => change([0, 1].map((at) =>
            ({ do: 'set', file: 'pantry', table: 'container', key: 'holds_ml', at, value: 300 }))))"""
        )
    )
    visitor.open_panel("chances")
    page.get_by_role("button", name="Ride it a thousand times").click()
    page.get_by_text(re.compile(r"\d+ of 100 rides go well")).wait_for()
    before = visitor.state()["settings"]
    visitor.after(page.get_by_role("button", name="Do that").first.click)
    assert visitor.state()["settings"] != before
    page.get_by_text("The plan has changed since").wait_for()
    visitor.after(page.locator("#undo").click)
    assert visitor.state()["settings"] == before
    assert visitor.complaints == []
