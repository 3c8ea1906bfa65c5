"""What a rider has begun outlives what is drawn anew under it: by another tab, a late answer, a plan."""

import json
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, Route

from tests.outputs.demo_plans import demo_plan
from tests.page.opened import Opened
from tests.page.story import Visitor
from tests.page.test_look_back import recording_of

pytestmark = [pytest.mark.browser, pytest.mark.slow]

BYTES = "application/octet-stream"
USED = "e => e.matches(':focus') ? [e.value, e.selectionStart] : null"


@pytest.fixture
def visitor(visit: Callable[[str], Visitor]) -> Visitor:
    held = visit("desk")
    held.page.locator("#offered button").nth(2).click()
    held.page.wait_for_selector("#hours .row.eat", state="attached")
    held.planned()
    return held


class AnotherTab:
    """The same ride changed from elsewhere, until the first page has drawn it."""

    def __init__(self, visitor: Visitor, opened: Opened) -> None:
        self._visitor, self._opened = visitor, opened
        self._ride = visitor.page.evaluate("location.hash.slice(1)")

    def change(self, *edits: object) -> None:
        told = {"change": self._visitor.state()["change"], "edits": edits}
        self._visitor.after(
            lambda: self._opened.json(f"/rides/{self._ride}/change", "POST", told),
        )

    def fill_in(self, values: dict[str, object]) -> None:
        mark(self._visitor.page, "#panel form")
        self._opened.json(f"/rides/{self._ride}/after", "POST", {"values": values, "bites": {}})
        gone(self._visitor.page)


def mark(page: Page, selector: str) -> None:
    page.eval_on_selector(selector, "e => e.classList.add('drawn-before')")


def gone(page: Page) -> None:
    page.locator(".drawn-before").wait_for(state="detached")


def recorded(visitor: Visitor, folder: Path, tail: bytes = b"") -> Path:
    """Open the panel for a look back; return a recording to drop, another file with another tail."""
    visitor.open_panel("after")
    path = folder / "ride.gpx"
    path.write_bytes(recording_of(demo_plan("rolling-60")) + tail)
    return path


def test_ticks_and_words_outlive_what_another_tab_says(
    visitor: Visitor, opened: Opened, tmp_path: Path
) -> None:
    page = visitor.page
    recording = recorded(visitor, tmp_path)
    page.locator("#panel .drop-here input").set_input_files(recording)
    bites = page.locator("#panel .bite")
    bites.nth(0).get_by_text("eaten").click()
    page.locator("#panel [data-key=C1]").select_option("7")
    typed = page.locator("#panel [data-key=E1]")
    typed.fill("start slower")
    page.keyboard.press("ArrowLeft")
    AnotherTab(visitor, opened).fill_in({"D1": 71, "C1": 3, "C2": 5})
    assert typed.evaluate(USED) == ["start slower", 11]
    values = {key: page.locator(f"#panel [data-key={key}]").input_value() for key in ("C1", "C2", "D1")}
    assert values == {"C1": "7", "C2": "5", "D1": "71"}  # what was begun here; else what is kept
    bites.nth(1).get_by_text("left").click()
    AnotherTab(visitor, opened).fill_in({})
    ticked = page.eval_on_selector_all("#panel [data-bite]:checked", "all => all.map(e => e.value)")
    assert ticked == ["eaten", "left"]
    assert visitor.complaints == []


def test_an_answer_later_than_its_news_takes_no_tick(
    visitor: Visitor, opened: Opened, tmp_path: Path
) -> None:
    page = visitor.page
    recording = recorded(visitor, tmp_path, b"\n")
    held: list[tuple[Route, bytes]] = []

    def hold(route: Route) -> None:
        path = urlsplit(route.request.url).path
        status, _, answer = opened.ask(path, "POST", recording.read_bytes(), Content_Type=BYTES)
        assert status == 200
        held.append((route, answer))

    page.route("**/recording", hold)
    page.locator("#panel .drop-here input").last.set_input_files(recording)
    page.locator("#panel .bite").first.get_by_text("eaten").click()
    mark(page, "#panel form")
    ((route, answer),) = held
    route.fulfill(body=answer, content_type="application/json")
    page.locator("#panel .after > [role=status]").get_by_text("back").wait_for(state="detached")
    assert page.locator("#panel form.drawn-before").count() == 1
    assert page.locator("#panel [data-bite]:checked").count() == 1
    assert visitor.complaints == []


def test_the_kitchen_stays_as_it_was_opened(visitor: Visitor, opened: Opened) -> None:
    page = visitor.page
    visitor.open_panel("kitchen")
    line = page.locator("#panel .items").first.locator("> li").nth(2)
    line.locator("summary").first.click()
    name = line.locator("summary").first.inner_text()
    grams = line.locator("[data-setting='item.carbohydrate_g']")
    grams.focus()
    line.evaluate("e => e.classList.add('drawn-before')")
    AnotherTab(visitor, opened).change({"do": "remove", "file": "pantry", "table": "item", "at": 0})
    gone(page)
    held = page.locator("#panel .items").first.locator("> li").nth(1)
    assert held.locator("summary").first.inner_text() == name
    assert held.locator("details.item").get_attribute("open") is not None
    assert held.locator("[data-setting='item.carbohydrate_g']").evaluate("e => e.matches(':focus')")
    assert visitor.complaints == []


def test_a_late_plan_moves_no_slider_and_takes_no_focus(visitor: Visitor, opened: Opened) -> None:
    page = visitor.page
    bite = visitor.bites()[2]
    visitor.row_of(bite).click()
    slider = page.locator("#by-hand input[type=range]")
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    at = slider.input_value()
    mark(page, "#by-hand input[type=range]")
    draw_again(visitor, opened)
    gone(page)
    assert slider.evaluate("e => [e.value, e.matches(':focus')]") == [at, True]
    visitor.open_panel("rider")
    visitor.after(lambda: page.locator("[data-setting='rider.ftp_w']").fill("300"))
    page.get_by_text("Keep it").click()
    draw_again(visitor, opened)
    assert page.locator("#moved").is_hidden()
    assert visitor.complaints == []


DRAWN = ("#hours .row.eat", ".map-mark", "#profile svg", "#hours .ribbon path")


def marked(page: Page) -> list[int]:
    """Mark all that is drawn of a plan and return how much it is, by kind."""
    for selector in DRAWN:
        page.eval_on_selector_all(selector, "all => all.forEach(e => e.classList.add('drawn-before'))")
    counts = [page.locator(selector).count() for selector in DRAWN]
    assert all(counts)
    return counts


def still_marked(page: Page) -> list[int]:
    return [page.locator(f"{selector}.drawn-before").count() for selector in DRAWN]


def test_what_is_read_as_before_stands_untouched_and_what_is_not_keeps_the_focus(
    visitor: Visitor, opened: Opened
) -> None:
    """The same plan comes again: every row, mark and profile stands; in miles each row is another."""
    page = visitor.page
    counts = marked(page)
    row = visitor.row_of(visitor.bites()[2])
    row.focus()
    draw_again(visitor, opened)
    assert still_marked(page) == counts
    assert row.evaluate("e => e.matches(':focus')")
    tab = AnotherTab(visitor, opened)
    tab.change({"do": "set", "file": "rider", "table": "habits", "key": "units", "value": "miles"})
    assert page.locator("#hours .row.eat.drawn-before").count() == 0
    assert row.locator(".far").inner_text() == f"{visitor.bites()[2]['at'] / 1609.344:.1f}"
    assert row.evaluate("e => e.matches(':focus')")
    assert visitor.complaints == []
    visitor.after(lambda: page.locator("#undo").click())


def test_what_comes_after_the_points_of_a_plan_draws_none_of_them_again(
    visitor: Visitor, opened: Opened
) -> None:
    """What is told beside them is held up while every drawing is marked, then comes: the marks stay.

    A plan that is asked for late has all of it already: it is handed over without, and news bring the rest.
    """
    page = visitor.page

    def points_alone(route: Route) -> None:
        whole = json.loads(route.fetch().body())
        route.fulfill(json={**whole, "turn": 0, "plan": {**whole["plan"], "totals": []}})

    visitor.until("ride.shown.turn === 1")  # nothing of the plan before is still to be told
    change = visitor.shown()["change"]
    visitor.open_panel("rider")
    held = visitor.hold("**/told")
    page.route("**/plan", points_alone)
    page.locator("[data-setting='rider.carbohydrate_limit_g_per_h']").fill("41")
    visitor.until(f"ride.shown.change > {change} && ride.shown.turn === 0")
    opened.json(f"/rides/{page.evaluate('location.hash.slice(1)')}/luck", "POST", {})
    told = held.next()
    before = page.locator("#totals").inner_text()
    counts = marked(page)
    row = page.locator("#hours .row.eat").first
    row.focus()
    visitor.until("ride.news.turn === 1 && !ride.news.busy")
    assert page.locator("#doing").inner_text() != ""  # all is known, and not all of it is here
    told.continue_()
    visitor.planned()
    assert page.locator("#doing").inner_text() == ""
    assert page.locator("#totals").inner_text() != before
    assert still_marked(page) == counts
    assert row.evaluate("e => e.matches(':focus')")
    assert visitor.complaints == []


def test_a_first_plan_says_that_it_is_one_until_the_best_takes_its_place(
    visitor: Visitor, opened: Opened
) -> None:
    """The plan comes once as a first one, its points to be drawn anew by the next news, which is held up."""
    page = visitor.page
    best = visitor.hold("**/plan")

    def as_first(route: Route) -> None:
        plan = json.loads(route.fetch().body())
        route.fulfill(json={**plan, "early": True, "turn": -1, "moved": None})

    page.route("**/plan", as_first, times=1)
    draw_again(visitor, opened)
    said = page.locator("#moved").get_by_text("A first plan")
    said.wait_for()
    opened.json(f"/rides/{page.evaluate('location.hash.slice(1)')}/luck", "POST", {})
    best.next().continue_()
    said.wait_for(state="hidden")
    assert not visitor.shown()["early"]
    assert visitor.complaints == []


def draw_again(visitor: Visitor, opened: Opened) -> None:
    """Let the plan that is shown come once more, as that of another change would: any news brings it."""
    page = visitor.page
    page.evaluate("import('/files/ride.js').then(({ ride }) => { ride.shown.change = 0; })")
    ride = page.evaluate("location.hash.slice(1)")
    opened.json(f"/rides/{ride}/luck", "POST", {})
    visitor.until("ride.shown.change > 0")
