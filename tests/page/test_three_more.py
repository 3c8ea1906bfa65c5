"""Three more riders: a first 200 km on a tablet, a coach who compares, a keyboard at four times the size."""

import re
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.demo import ROUTES
from tests.page.opened import DEMO, open_page
from tests.page.story import Visitor
from tests.page.test_in_reach import SMALL
from tests.page.test_story import enter, swipe

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TABLET = {"viewport": {"width": 820, "height": 1180}, "has_touch": True, "is_mobile": True}
FOUR_TIMES = {"viewport": {"width": 320, "height": 256}}
"""A screen of 1280 by 1024 at 400 %, as WCAG 2.2 has it for reflow (1.4.10)."""

DESK = {"viewport": {"width": 1366, "height": 768}}


@pytest.fixture
def coming(browser: Browser, tmp_path: Path) -> Iterator[Callable[..., Visitor]]:
    """Return how somebody comes to a table without rides, and puts the short demo ride on it."""
    opened = open_page(tmp_path, *DEMO)
    contexts = []

    def come(locale: str, **screen: object) -> Visitor:
        contexts.append(browser.new_context(locale=locale, reduced_motion="reduce", **screen))  # type: ignore[arg-type]
        visitor = Visitor.at(contexts[-1].new_page())
        visitor.enter(opened.address)
        visitor.page.set_input_files("#route-file", ROUTES / "rolling-60.gpx")
        visitor.page.wait_for_selector("#hours .row.eat", state="attached")
        visitor.planned()
        return visitor

    yield come
    for context in contexts:
        context.close()
    opened.end()


def test_on_a_tablet_a_room_that_is_asked_for_is_there(coming: Callable[..., Visitor]) -> None:
    """The panel covered profile and map, where a stretch was to be drawn and a place to be chosen."""
    visitor = coming("de-DE", **TABLET)
    page = visitor.page
    visitor.open_panel("wishes")
    page.get_by_role("button", name="Über das Profil zeichnen").tap()
    assert page.locator("#profile").is_visible()
    assert "Zeichne über das Profil" in page.locator("#asking").inner_text()
    assert Axe().run(page).response["violations"] == []
    # a way out without a keyboard: back in the panel, and nothing is drawn any more
    page.get_by_role("button", name="Doch nicht").tap()
    assert page.get_by_role("heading", name="Von Hand").is_visible()
    assert page.locator("#asking").is_hidden()
    page.get_by_role("button", name="Über das Profil zeichnen").tap()
    middle = visitor.place("free", 25_000)
    visitor.after(lambda: swipe(page, visitor.on_profile(middle - 2000), visitor.on_profile(middle + 2000)))
    (span,) = visitor.state()["settings"]["pins"]["no_food"]
    assert span["from_km"] < middle / 1000 < span["to_km"]
    assert page.get_by_text("nichts essen von km").first.is_visible()
    visitor.open_panel("day")
    page.get_by_role("button", name="auf der Karte").tap()
    road = page.locator("#map-room")
    assert road.is_visible()
    visitor.laid_out()
    assert "Wähle den Ort auf der Karte" in page.locator("#asking").inner_text()
    box = road.bounding_box()
    assert box is not None
    visitor.after(lambda: page.touchscreen.tap(box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"]))
    assert len(visitor.state()["settings"]["day"]["feed"]) == 1
    assert page.get_by_role("heading", name="Tag", exact=True).is_visible()
    # whoever goes on elsewhere has left it: no later touch of the map adds anything
    page.get_by_role("button", name="auf der Karte").tap()
    page.locator("[data-panel=rider]").tap()
    page.locator("[data-panel=rider]").tap()
    page.locator("#rooms [data-room=map-room]").tap()
    page.touchscreen.tap(box["x"] + 0.5 * box["width"], box["y"] + 0.7 * box["height"])
    visitor.settled()
    assert len(visitor.state()["settings"]["day"]["feed"]) == 1
    assert visitor.complaints == []


def test_on_a_tablet_a_first_plan_says_what_it_cannot_keep(coming: Callable[..., Visitor]) -> None:
    visitor = coming("de-DE", **TABLET)
    page = visitor.page
    page.locator("#first-steps button.chief").tap()
    for panel in ("rider", "day"):  # what explains a field is opened by a finger, too
        visitor.open_panel(panel)
        assert page.evaluate(SMALL.replace("input:not", "summary, input:not"), 44) == []
    page.locator("[data-panel=day]").tap()
    page.reload()
    page.wait_for_selector("body[data-ready]")
    visitor.planned()
    visitor.open_panel("kitchen")
    visitor.after(lambda: page.get_by_role("button", name="Nichts davon").tap())
    page.locator("summary", has_text="Etwas wiegen").tap()
    weighing = page.locator("#panel details.more", has_text="Etwas wiegen").first
    for sought, found in (("Datteln", "Dattel"), ("bananen", "Banane"), ("xyz", "Nicht in diesen Tabellen")):
        weighing.locator("input[type=search]").fill(sought)
        assert found in weighing.locator(".items > li").first.inner_text()
    # what is not at home is offered nowhere
    visitor.open_panel("wishes")
    assert page.locator("#panel select").is_disabled()
    assert page.locator("#panel select option").count() == 0


def test_after_a_touch_nothing_stays_dark_as_if_chosen(coming: Callable[..., Visitor]) -> None:
    visitor = coming("en-GB", **TABLET)
    page = visitor.page
    page.locator("[data-panel=kitchen]").tap()
    more = page.get_by_role("button", name="One more pocket")
    more.evaluate("e => e.id = 'touched'")
    before = colours(page, "#touched")
    visitor.after(more.tap)
    assert colours(page, "#touched") == before
    assert colours_hovered(page, "#touched") == before  # as a phone's browser goes on to take it


def test_where_a_finger_was_words_can_still_be_read(coming: Callable[..., Visitor]) -> None:
    """A phone's browser keeps what was touched as hovered over: words had the colour of their ground then."""
    page = coming("en-GB", **TABLET).page
    page.get_by_text("Not now").tap()
    for name in ("[data-panel=beside]", "#to-first", "#open-here"):
        before, under = colours(page, name), colours_hovered(page, name)
        assert under == before, name
    # a mouse is answered where there is something to press, and no word is lost under it
    desk = coming("en-GB", **DESK).page
    assert desk.locator("#undo").is_disabled()
    assert colours_hovered(desk, "#undo") == colours(desk, "#undo")
    words, ground = colours_hovered(desk, "#to-first")
    assert [ground, words] == colours(desk, "#to-first")


def colours(page: Page, name: str) -> list[str]:
    """Return the colours of an element's words and ground."""
    seen = page.locator(name).evaluate(
        "e => [getComputedStyle(e).color, getComputedStyle(e).backgroundColor]"
    )
    return [str(colour) for colour in seen]


def colours_hovered(page: Page, name: str) -> list[str]:
    """Return the colours of an element while the browser takes it as hovered over.

    The browser is told so itself: a pointer's place changes a moment after each touch.
    """
    session = page.context.new_cdp_session(page)
    for domain in ("DOM", "CSS"):
        session.send(f"{domain}.enable")
    root = session.send("DOM.getDocument")["root"]["nodeId"]
    node = session.send("DOM.querySelector", {"nodeId": root, "selector": name})["nodeId"]
    session.send("CSS.forcePseudoState", {"nodeId": node, "forcedPseudoClasses": ["hover"]})
    seen = colours(page, name)
    session.detach()
    return seen


def test_the_third_step_tells_which_rules_are_not_kept(coming: Callable[..., Visitor]) -> None:
    visitor = coming("en-GB", **TABLET)
    page = visitor.page
    page.locator("#first-steps button.chief").tap()
    on = page.locator(".guide > .row-of button.chief")
    on.tap()
    visitor.after(lambda: page.get_by_role("button", name="None of these is here").tap())
    on.tap()
    told = page.locator(".guide .wrong")
    assert told.inner_text().splitlines()[0] == visitor.shown()["plan"]["broken"]
    assert told.locator("li").count() == len(visitor.shown()["plan"]["violations"]) > 0
    visitor.after(lambda: page.locator("#undo").tap())
    assert visitor.shown()["plan"]["violations"] == []
    assert told.is_hidden()


def test_versions_of_one_ride_are_told_apart(coming: Callable[..., Visitor]) -> None:
    visitor = coming("en-GB", **DESK)
    page = visitor.page
    visitor.open_panel("rider")
    visitor.after(lambda: visitor.field("rider.ftp_w").fill("250"))
    visitor.open_panel("beside")
    page.get_by_role("button", name="Put a second version").click()
    visitor.in_another_ride(page.get_by_role("button", name="Open the other").click)
    visitor.open_panel("beside")
    page.wait_for_selector("#panel select option:nth-child(2)", state="attached")
    (other,) = page.locator("#panel select option:not([value=''])").all_inner_texts()
    assert re.fullmatch(r"ride-1 · .*FTP.* → 250", other)
    select, panel = (page.locator(each).bounding_box() for each in ("#panel select", "#panel"))
    assert select is not None
    assert panel is not None
    assert select["width"] > 0.8 * panel["width"]


def is_seen_whole(page: Page) -> bool:
    """Return whether what has the focus is seen whole, or fills the screen."""
    return bool(
        page.evaluate(
            """() => {
              const { left, right, top, bottom } = document.activeElement.getBoundingClientRect();
              return left >= -1 && right <= innerWidth + 1 && top < innerHeight && bottom > 0;
            }"""
        )
    )


def test_at_four_times_the_size_focus_and_rooms_come_into_sight(coming: Callable[..., Visitor]) -> None:
    visitor = coming("en-GB", **FOUR_TIMES, color_scheme="dark")
    page = visitor.page
    for _ in range(30):
        page.keyboard.press("Tab")
        said = page.evaluate("document.activeElement.outerHTML.slice(0, 80)")
        assert page.evaluate("document.activeElement === document.body") or is_seen_whole(page), said
    for room in ("profile", "map-room", "about", "strip"):
        page.locator(f"#rooms [data-room={room}]").press("Enter")
        box = page.locator(f"#{room}").bounding_box()
        assert box is not None
        assert box["y"] < 128
        assert box["y"] + box["height"] > 128
    assert visitor.complaints == []


def test_what_is_refused_on_a_card_comes_into_sight(coming: Callable[..., Visitor]) -> None:
    visitor = coming("en-GB", **DESK)
    page = visitor.page
    bite, other = visitor.bites()[1:3]
    visitor.row_of(bite).click()
    slider = page.locator("#by-hand input[type=range]")
    slider.fill(str(100 * round(visitor.place("free", bite["at"] + 1500, 200.0) / 100)))
    visitor.after(lambda: page.locator("#by-hand button.chief").click())
    at = 1000 * visitor.state()["settings"]["pins"]["eat_here"][0]["at_km"]
    visitor.row_of(min(visitor.bites(), key=lambda each: abs(float(each["at"]) - other["at"]))).click()
    slider.fill(str(100 * round(at / 100)))
    page.locator("#by-hand button.chief").click()
    wrong = page.locator("#by-hand .wrong")
    wrong.wait_for()
    card, told = page.locator("#card").bounding_box(), wrong.bounding_box()
    assert card is not None
    assert told is not None
    assert told["y"] + told["height"] <= card["y"] + card["height"] + 1


def test_who_does_not_see_the_page_hears_what_a_change_brings(coming: Callable[..., Visitor]) -> None:
    visitor = coming("en-GB", **DESK)
    page = visitor.page
    heard = page.locator("#planned")
    assert heard.get_attribute("role") == "status"
    assert heard.inner_text() == ""
    visitor.open_panel("kitchen")
    items = dict.fromkeys(bite["item"] for bite in visitor.bites())
    for item in list(items)[:3]:  # without what it eats the plan becomes another
        count = page.get_by_label(f"how many of {item}")
        visitor.after(partial(enter, page, count, "0"))
        lines = visitor.shown()["moved"]["lines"]
        assert lines
        more = f"; {len(lines) - 3} more" if len(lines) > 3 else ""
        assert heard.inner_text() == f"What moved: {'; '.join(lines[:3])}{more}"
    visitor.open_panel("rider")
    visitor.after(lambda: visitor.field("habits.units").select_option("miles"))
    visitor.after(lambda: visitor.field("habits.units").select_option("km"))
    assert heard.inner_text() == "Planned anew: nothing that is eaten or drunk differs."
    assert visitor.complaints == []
