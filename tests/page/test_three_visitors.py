"""Three who have not seen the page: ordinary food by touch, a hot race with labels, a week after a ride."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator

from tests.demo import ROUTES
from tests.outputs.demo_plans import demo_plan
from tests.page.opened import DEMO, open_page
from tests.page.story import Visitor
from tests.page.test_look_back import recording_of

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture
def coming(browser: Browser, tmp_path: Path) -> Iterator[Callable[..., Visitor]]:
    """Return how somebody comes to a table without rides."""
    opened = open_page(tmp_path, *DEMO)
    contexts = []

    def come(width: int, height: int, locale: str, *, touch: bool = False) -> Visitor:
        context = browser.new_context(
            viewport={"width": width, "height": height},
            has_touch=touch,
            is_mobile=touch,
            locale=locale,
            reduced_motion="reduce",
        )
        contexts.append(context)
        visitor = Visitor.at(context.new_page())
        visitor.enter(opened.address)
        return visitor

    yield come
    for context in contexts:
        context.close()
    opened.end()


def is_within(inner: Locator, outer: Locator) -> bool:
    one, other = inner.bounding_box(), outer.bounding_box()
    assert one is not None
    assert other is not None
    right, bottom = one["x"] + one["width"], one["y"] + one["height"]
    return (
        other["x"] <= one["x"]
        and right <= other["x"] + other["width"]
        and other["y"] <= one["y"]
        and bottom <= other["y"] + other["height"]
    )


def test_ordinary_food_by_touch_in_german_comes_to_a_sticker(coming: Callable[..., Visitor]) -> None:
    visitor = coming(390, 844, "de-DE", touch=True)
    page = visitor.page
    assert page.locator("html").get_attribute("lang") == "de"
    assert page.locator("#languages [aria-pressed=true]").inner_text() == "Deutsch"
    assert is_within(page.locator("#drop label"), page.locator("#drop"))
    page.set_input_files("#route-file", ROUTES / "rolling-60.gpx")
    page.wait_for_selector("#hours .row.eat", state="attached")
    visitor.planned()
    page.locator("#first-steps button.chief").tap()
    page.locator("#panel fieldset input").nth(0).fill("60")
    page.locator("#panel fieldset input").nth(1).fill("3")
    visitor.after(lambda: page.locator("#panel fieldset button").tap())
    # what moved hides neither the fields of a first visit nor its way on
    assert page.locator("#moved").is_hidden()
    on = page.locator(".guide > .row-of button.chief")
    on.scroll_into_view_if_needed()
    assert is_within(on, page.locator("#panel"))
    on.tap()
    visitor.after(lambda: page.get_by_role("button", name="Nichts davon").tap())
    page.locator("summary", has_text="Etwas wiegen").tap()
    weighing = page.locator("#panel details.more", has_text="Etwas wiegen").first
    weighing.locator("input.number").fill("60")
    search = weighing.locator("input[type=search]")
    search.fill("brot")
    assert is_within(search, page.locator("#panel"))
    lines = weighing.locator(".items li").all_inner_texts()
    assert any("Brot" in line and "32,6 g Kohlenhydrat" in line for line in lines)
    assert not [line for line in lines if "Ciqual" in line or "SR28" in line]
    weighing.locator("summary", has_text="Woher").tap()
    assert "Ciqual 2020" in weighing.inner_text()
    bread = weighing.locator(".items button").first
    visitor.after(bread.tap)
    held = visitor.state()["settings"]["pantry"]["item"][-1]
    assert (held["name"], held["short"], held["carbohydrate_g"]) == ("Brot 60 g", "Brot", 32.6)
    on.tap()
    page.get_by_role("button", name="Mitnehmen").last.tap()
    page.get_by_role("button", name="zeichnen").tap()
    page.wait_for_selector("#panel a[download='sticker.pdf']")
    assert visitor.complaints == []


def test_labels_caffeine_and_a_hot_race_are_told_by_the_panels(coming: Callable[..., Visitor]) -> None:
    visitor = coming(1280, 800, "en-GB")
    page = visitor.page
    visitor.drop_route("loop-120.gpx")
    visitor.open_panel("kitchen")
    page.locator("summary", has_text="Something of your own").click()
    own = page.locator("#panel details.more", has_text="Something of your own")
    own.get_by_label("Kind").select_option("drink")
    assert own.get_by_label("Fluid").is_visible()
    own.get_by_label("Kind").select_option("gel")
    for hidden in ("Fluid", "Powder to a serving", "Water to a serving"):
        assert own.get_by_label(hidden).is_hidden()
    for label, value in (("Name", "race gel"), ("Carbohydrate", "40"), ("Caffeine", "75"), ("How many", "3")):
        own.get_by_label(label).fill(value)
    visitor.after(lambda: own.get_by_role("button", name="Put it in").click())
    held = visitor.state()["settings"]["pantry"]["item"][-1]
    assert [held[key] for key in ("name", "kind", "caffeine_mg", "count", "water_ml")] == [
        "race gel", "gel", 75, 3, 0
    ]  # fmt: skip
    assert own.get_by_label("Name").evaluate("e => e === document.activeElement")
    # nothing of it stays to be taken for the next one's
    assert [own.get_by_label(label).input_value() for label in ("Name", "Carbohydrate", "Caffeine")] == [
        ""
    ] * 3
    visitor.open_panel("day")
    visitor.after(lambda: visitor.field("day.purpose").select_option("race"))
    visitor.after(lambda: visitor.field("day.temperature_c").fill("33"))
    told = page.locator("#faults").inner_text()
    assert "say that you are used to it (Rider, more of the rider)" in told
    assert told.count("do not ride") == 1
    everything = page.locator("body").inner_text()
    assert not [word for word in ("heat_acclimatised", "rider file", "[[feed]]") if word in everything]
    assert visitor.complaints == []


def test_a_week_after_what_is_kept_and_taken_over_is_said_in_sight(
    coming: Callable[..., Visitor], tmp_path: Path
) -> None:
    visitor = coming(390, 844, "en-GB", touch=True)
    page = visitor.page
    page.set_input_files("#route-file", ROUTES / "rolling-60.gpx")
    page.wait_for_selector("#hours .row.eat", state="attached")
    visitor.planned()
    year, month, day = visitor.state()["settings"]["day"]["day"]["start"][:10].split("-")
    page.locator("#to-first").tap()
    written = rf"\b{int(day)} {MONTHS[int(month) - 1]}\w* {year}\b"
    assert re.search(written, page.locator("#kept li").inner_text())
    page.locator("#kept a").tap()
    visitor.planned()
    recording = tmp_path / "recording.gpx"
    recording.write_bytes(recording_of(demo_plan("rolling-60"), slower=1.1))
    page.locator("[data-panel=after]").tap()
    page.set_input_files("#panel input[type=file]", recording)
    page.locator("#panel form select").first.select_option("7")
    page.locator("#panel form button.chief").tap()
    kept = page.get_by_text("Kept in the log.")
    kept.wait_for()
    assert page.locator("#panel").evaluate("e => e.scrollTop") > 500
    assert is_within(kept, page.locator("#panel"))
    assert visitor.complaints == []
