"""What new riders came upon: by touch without watts, in German, by keyboard at twice the size."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from tests.demo import ROUTES
from tests.page.opened import DEMO, Opened, open_page
from tests.page.story import Visitor

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SAID = """() => [...document.querySelectorAll('#by-hand output, #drag-tag, #panel .items > li > span')]
  .map((e) => e.textContent)"""


def test_on_a_phone_what_moved_leaves_the_rooms_their_room(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("phone")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    for room in ("strip", "map-room", "profile"):
        page.locator(f"#rooms [data-room={room}]").tap()
        assert page.locator(f"#{room}").bounding_box()["height"] > 200  # type: ignore[index]
    visitor.open_panel("kitchen")
    visitor.after(lambda: page.get_by_role("button", name="None of these is here").tap())
    assert {item["count"] for item in visitor.state()["settings"]["pantry"]["item"]} <= {0, 1}
    assert visitor.bites() == []
    visitor.open_panel("rider")
    page.locator("[data-panel=rider]").tap()
    assert page.locator("#moved").is_visible()
    for room in ("strip", "map-room", "profile"):
        page.locator(f"#rooms [data-room={room}]").tap()
        assert page.locator(f"#{room}").bounding_box()["height"] > 200  # type: ignore[index]
    visitor.after(lambda: page.locator("#undo").tap())
    assert len(visitor.bites()) > 3
    assert visitor.complaints == []


def test_one_sentence_is_answered_in_watts(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("rider")
    page.get_by_label("I ride").fill("60")
    page.locator("#panel fieldset input").nth(1).fill("3")
    visitor.after(page.get_by_text("Take my word").click)
    day = visitor.state()["settings"]["day"]["day"]
    ftp_w = visitor.state()["settings"]["rider"]["rider"]["ftp_w"]
    watts = [round(day[key] * ftp_w) for key in ("effort_flat", "effort_climb")]
    assert f"about {watts[0]} W on the flat and {watts[1]} W uphill" in page.locator("#panel").inner_text()


@pytest.fixture
def german(tmp_path: Path) -> Iterator[Opened]:
    """Start the page with a rider who reads German, and no ride yet."""
    rider = tmp_path / "rider.toml"
    rider.write_text('[habits]\nlanguage = "de"\n', encoding="utf-8")
    opened = open_page(tmp_path / "home", *DEMO, "--rider", str(rider))
    yield opened
    opened.end()


def test_a_german_page_is_german_from_the_first_word_on(browser: Browser, german: Opened) -> None:
    context = browser.new_context(viewport={"width": 1440, "height": 900}, reduced_motion="reduce")
    visitor = Visitor.at(context.new_page())
    page = visitor.page
    try:
        visitor.enter(german.address)
        assert "Welche Straße" in page.locator("h1").first.inner_text()
        visitor.drop_route("rolling-60.gpx")
        bite = visitor.bites()[2]
        visitor.row_of(bite).click()
        target = visitor.place("free", bite["at"] + 3000)
        page.locator("#by-hand input[type=range]").fill(str(100 * round(target / 100)))
        visitor.after(lambda: page.locator("#by-hand button.chief").click())
        visitor.open_panel("wishes")
        page.locator("#panel input.number").nth(0).fill("2,5")
        page.locator("#panel input.number").nth(1).fill("3,75")
        visitor.after(lambda: page.get_by_role("button", name="Dort nichts essen").click())
        said = page.evaluate(SAID)
        assert [text for text in said if re.search(r"\d\.\d", text)] == []
        assert any(re.search(r"\d,\d", text) for text in said)
        assert "nichts essen von km 2,5 bis km 3,8" in said
        visitor.open_panel("rider")
        about = page.locator("#panel .about").all_text_contents()
        assert any("übliche Praxis (ohne Quelle)" in text for text in about)
        assert not [text for text in about if "common practice" in text or "true" in text]
        visitor.after(lambda: visitor.field("rider.ftp_w").fill("230"))
        assert page.locator("#undo").get_attribute("title") == "Leistung für eine Stunde (FTP) – → 230"
        page.locator("#to-first").click()
        page.locator("#kept", has_text="(FTP) – → 230").wait_for()
        assert visitor.complaints == []
    finally:
        context.close()


def test_another_language_is_that_of_the_whole_page_at_once(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("rider")
    for word, heading in (("de", "Mensch und Rad"), ("en", "Rider")):
        visitor.field("habits.language").select_option(word)
        page.locator("#panel h2", has_text=heading).wait_for()
        visitor.until("ride.state")
        visitor.planned()
        assert page.locator("html").get_attribute("lang") == word
        assert page.locator("[data-panel=rider]").inner_text() == heading
    assert visitor.complaints == []


def test_a_rider_file_that_cannot_be_read_does_not_start_the_page_again_and_again(
    browser: Browser, tmp_path: Path
) -> None:
    """It asks for German, and for what cannot be: the page says so in English, and stands still."""
    opened = open_page(tmp_path, *DEMO)
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    visitor = Visitor.at(context.new_page())
    loads: list[str] = []
    try:
        visitor.enter(opened.address)
        visitor.drop_route("rolling-60.gpx")
        (folder,) = (tmp_path / "terrain-fuel/rides").glob("ride-*")
        text = '[rider]\nftp_w = 9\n[habits]\nlanguage = "de"\n'
        visitor.page.on("domcontentloaded", lambda page: loads.append(page.url))
        for ftp_w in ("9", "8"):
            (folder / "rider.toml").write_text(text.replace("9", ftp_w), encoding="utf-8")
            visitor.page.locator("#fault").get_by_text(f"{ftp_w}: it may be 50 to 600 W").wait_for()
            visitor.settled()
        visitor.page.wait_for_selector("body[data-ready]")
        assert loads == []
        assert visitor.page.locator("html").get_attribute("lang") == "en"
    finally:
        context.close()
        opened.end()


@pytest.mark.parametrize("forced", ["active", "none"])
def test_by_keyboard_at_twice_the_size_nothing_is_lost(browser: Browser, opened: Opened, forced: str) -> None:
    """A screen of 1024 by 768 at 200 %, dark, colours forced or not: what is open is told apart."""
    context = browser.new_context(
        viewport={"width": 512, "height": 384},
        device_scale_factor=2,
        reduced_motion="reduce",
        color_scheme="dark",
        forced_colors="active" if forced == "active" else "none",
    )
    visitor = Visitor.at(context.new_page())
    page = visitor.page
    try:
        visitor.enter(opened.address)
        page.set_input_files("#route-file", ROUTES / "rolling-60.gpx")
        page.wait_for_selector("#hours .row.eat", state="attached")
        visitor.planned()
        assert page.evaluate("document.activeElement.id") == "route-name"
        assert page.evaluate("document.activeElement.getBoundingClientRect().top") >= 0
        for panel in ("rider", "kitchen"):
            page.locator(f"[data-panel={panel}]").press("Enter")
            assert page.locator("#first-steps").is_hidden()
            other = page.locator("[data-panel=wishes]")
            colour = "e => getComputedStyle(e).backgroundColor"
            assert page.locator(f"[data-panel={panel}]").evaluate(colour) != other.evaluate(colour)
            assert Axe().run(page).response["violations"] == []
        page.locator("[data-panel=kitchen]").press("Enter")
        for room in ("map-room", "strip"):
            page.locator(f"#rooms [data-room={room}]").press("Enter")
            assert Axe().run(page).response["violations"] == []
        assert visitor.complaints == []
    finally:
        context.close()


def test_what_is_chosen_stays_the_same_thing_when_numbers_change(visit: Callable[[str], Visitor]) -> None:
    """Larger mouthfuls are fewer sips: every number after the first hour is another's then."""
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("loop-120.gpx")
    bite = visitor.bites()[6]
    visitor.row_of(bite).click()
    before = page.evaluate("document.querySelector('#hours [aria-pressed=true]').dataset.key")
    visitor.open_panel("rider")
    page.locator("#panel details.more", has_text="more habits").locator("summary").first.click()
    visitor.after(lambda: visitor.field("habits.sip_ml").fill("110"))
    chosen = page.evaluate("document.querySelector('#hours [aria-pressed=true]').dataset.key")
    assert chosen != before
    at = {key: each["at"] for key, each in visitor.shown()["bites"].items()}
    assert chosen == min(at, key=lambda key: abs(float(at[key]) - float(bite["at"])))
    assert page.locator("#by-hand input[type=range]").is_visible()
    page.locator("#to-first").click()
    page.locator("#offered button").nth(2).click()
    visitor.until("ride.shown && ride.state.change === 1")
    visitor.planned()
    assert page.locator("#card").is_hidden()
    assert visitor.complaints == []


def test_an_empty_bottle_is_drawn_empty(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("desk")
    page = visitor.page
    visitor.drop_route("rolling-60.gpx")
    visitor.open_panel("kitchen")
    lines = page.locator("#panel li", has=page.locator("svg.vessel path"))
    while not lines.filter(has_text="empty").count():
        visitor.after(lambda: page.get_by_role("button", name="One more bottle").click())
    for line in lines.all():
        assert line.locator("path.content").count() == ("empty" not in line.inner_text())
