"""The map page in a real browser with the network cut: what it shows, how it is used, who can use it."""

from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.facts import fact
from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.plan import Violation
from tests.outputs.sample_plan import sample_plan
from tests.outputs.visiting import ROOMS, Visit
from tests.saying import say

pytestmark = pytest.mark.browser


def test_nothing_is_fetched_and_nothing_complains(browser: Browser, page_file: Path) -> None:
    visit = Visit(browser, page_file, "desk")
    visit.page.click("#open-key")
    visit.page.keyboard.press("Escape")
    visit.page.click(".leaflet-control-zoom-in")
    visit.page.wait_for_timeout(400)
    outside = [url for url in visit.requests if not url.startswith(("file:", "data:"))]
    assert outside == []
    assert [url for url in visit.requests if url.startswith("file:")] == [page_file.as_uri()]
    assert visit.complaints == []
    assert visit.page.evaluate("window.broken") == []
    visit.context.close()


def test_the_policy_really_bites(browser: Browser, page_file: Path) -> None:
    # the check above would pass on a page without a policy: here it must stop a picture and a script
    visit = Visit(browser, page_file, "desk")
    visit.page.evaluate(
        "() => { const p = new Image(); p.src = 'https://example.org/x.png'; document.body.append(p);"
        " const s = document.createElement('script'); s.textContent = 'window.hacked = 9';"
        " document.body.append(s); }"
    )
    visit.until("window.broken.length >= 2")
    assert visit.page.evaluate("window.hacked") is None
    visit.context.close()


def test_numbers_and_distances_agree_in_strip_map_and_profile(visit: Visit) -> None:
    plan = sample_plan()
    expected = {f"p{point.number}": f"{point.distance_m / 1000:.1f}" for point in plan.fuel_points}
    rows = visit.page.eval_on_selector_all(
        "#hours [data-key^=p]",
        "all => all.map(e => [e.dataset.key, e.querySelector('.far, span').textContent,"
        " e.querySelector('svg text, b').textContent])",
    )
    assert {key: distance for key, distance, _ in rows} == expected
    assert all(f"p{number}" == key for key, _, number in rows)
    onmap = visit.page.eval_on_selector_all(
        ".map-mark[data-key^=p]", "all => all.map(e => [e.dataset.key, e.querySelector('text').textContent])"
    )
    assert {key for key, _ in onmap} == set(expected)
    assert all(f"p{number}" == key for key, number in onmap)
    for drawing in visit.page.query_selector_all("#profile svg"):
        numbers = drawing.eval_on_selector_all(".mark", "all => all.map(e => 'p' + e.dataset.number)")
        assert sorted(numbers) == sorted(expected)


def test_hostile_names_are_shown_as_they_are(visit: Visit) -> None:
    assert visit.page.evaluate("window.hacked") is None
    assert visit.page.text_content("#route-name") == sample_plan().name
    strip = visit.page.text_content("#hours") or ""
    for point in sample_plan().fuel_points:
        if point.action == "eat":
            assert point.item in strip
    assert visit.page.locator("img:not(.leaflet-image-layer)").count() == 0


def test_choosing_by_mouse_lights_all_three_and_opens_the_card(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    plan = sample_plan()
    eats = [point for point in plan.fuel_points if point.action == "eat"]
    for room, selector in (
        ("strip", "#hours [data-key=p{0}]"),
        ("map", ".map-mark[data-key=p{0}]"),
        ("profile", "#profile .width-1000 [data-number='{0}']"),
    ):
        visit.page.keyboard.press("Escape")
        point = eats[{"strip": 3, "map": 16, "profile": 8}[room]]
        visit.page.click(selector.format(point.number))
        assert visit.lit() == {room: [f"p{point.number}"] for room in ROOMS}
        card = visit.page.text_content("#card") or ""
        for text in (f"{point.distance_m / 1000:.1f} km", point.item, point.container, say(point.reason)):
            assert text in card
        assert {"Where", "When", "What", "From", "Why here", "Next"} <= set(
            visit.page.eval_on_selector_all("#card dt", "all => all.map(e => e.textContent)")
        )
    visit.page.click("#card-close")
    assert visit.page.is_hidden("#card")
    assert visit.lit() == {"map": [], "strip": [], "profile": []}


def test_choosing_by_touch(visits: dict[str, Visit]) -> None:
    visit = visits["phone"]
    number = next(point.number for point in sample_plan().fuel_points if point.action == "refill")
    visit.page.keyboard.press("Escape")
    visit.page.tap(f"#profile .width-358 [data-number='{number}']")
    assert visit.lit() == {room: [f"p{number}"] for room in ROOMS}
    visit.page.tap("#card-on")
    assert visit.lit()["strip"] == [f"p{number + 1}"]
    visit.page.tap("#card-close")
    visit.page.tap(f".map-mark[data-key=p{number}]")
    assert visit.lit()["profile"] == [f"p{number}"]


def test_a_sip_is_chosen_on_its_small_ring(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    visit.page.keyboard.press("Escape")
    sip = next(point for point in sample_plan().fuel_points if point.action == "sip")
    visit.page.click(f"#profile .width-1000 [data-number='{sip.number}']")
    assert visit.lit() == {room: [f"p{sip.number}"] for room in ROOMS}


@pytest.mark.parametrize(
    ("room", "marks"),
    [
        ("#hours", "#hours [data-key]"),
        ("#map", ".map-mark"),
        ("#profile .width-1000 svg", "#profile .width-1000 .mark"),
    ],
)
def test_choosing_by_keyboard(visits: dict[str, Visit], room: str, marks: str) -> None:
    visit = visits["desk"]
    page = visit.page
    page.keyboard.press("Escape")
    stops = page.locator(f"{marks}[tabindex='0']")
    assert stops.count() == 1  # one tab stop a room
    stops.focus()
    first = page.evaluate("document.activeElement.dataset.key || document.activeElement.dataset.number")
    page.keyboard.press("ArrowRight")
    second = page.evaluate("document.activeElement.dataset.key || document.activeElement.dataset.number")
    assert second != first
    page.keyboard.press("Enter")
    key = second if second.startswith(("p", "c")) else f"p{second}"
    assert visit.lit()["strip"] == [key]
    assert page.evaluate("document.activeElement.id") == "card-title"
    page.keyboard.press("Escape")
    assert page.is_hidden("#card")
    back = page.evaluate("document.activeElement.dataset.key || document.activeElement.dataset.number")
    assert back == second


def test_the_tab_key_meets_every_room_in_order(visits: dict[str, Visit]) -> None:
    visits["desk"].open()
    page = visits["desk"].page
    met = []
    for _ in range(14):
        page.keyboard.press("Tab")
        met.append(
            page.evaluate(
                "(document.activeElement.closest('header, #map-room, #profile, #strip, .skip') || {}).id"
                " || document.activeElement.closest('header, .skip')?.tagName || ''"
            )
        )
    rooms = [room for i, room in enumerate(met) if room and (i == 0 or met[i - 1] != room)]
    assert rooms[:5] == ["A", "HEADER", "map-room", "profile", "strip"]


AXE_RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]}
OPEN_CARD = "document.querySelector('#hours button.eat').click()"
OPEN_DIALOG = "document.getElementById('open-care').click()"


@pytest.mark.source("WCAG22", "levels A and AA as far as an engine can tell")
@pytest.mark.parametrize(
    ("size", "scheme", "states"),
    [
        ("phone", "light", [OPEN_CARD, OPEN_DIALOG]),
        ("phone", "dark", [OPEN_CARD]),
        ("desk", "light", [OPEN_CARD]),
        ("desk", "dark", [OPEN_CARD, OPEN_DIALOG]),
    ],
)
def test_an_accessibility_engine_finds_nothing(
    browser: Browser, page_file: Path, size: str, scheme: str, states: list[str]
) -> None:
    visit = Visit(browser, page_file, size, scheme)
    for state in states:
        visit.page.evaluate(state)
        found = Axe().run(visit.page, options=AXE_RULES).response
        assert found["passes"]
        faults = [
            (fault["id"], [node["html"][:160] for node in fault["nodes"][:3]])
            for fault in found["violations"]
        ]
        assert faults == []
    visit.context.close()


def test_a_road_without_relief_has_a_quiet_grid(browser: Browser, tmp_path: Path) -> None:
    write_map(sample_plan("miles", False), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "desk")
    assert len(visit.page.get_attribute("path.net", "d") or "") > 100
    assert visit.page.locator(".leaflet-image-layer").count() == 0
    assert visit.page.locator(".north").count() == 1
    assert " mi" in (visit.page.text_content(".leaflet-control-scale") or "")
    assert visit.complaints == []
    visit.context.close()


def test_a_rule_that_cannot_be_kept_is_told_at_the_top(browser: Browser, tmp_path: Path) -> None:
    sentence = fact(
        "long_gap",
        gap_min=41.0,
        start_m=40_000.0,
        end_m=75_000.0,
        over_min=11,
        longest_min=30.0,
    )
    broken = Violation(6, "gap between food", 40_000.0, 75_000.0, 41.0, "min", sentence)
    write_map(replace(sample_plan(), violations=(broken, broken)), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "phone")
    assert visit.page.is_visible("#faults")
    assert visit.page.text_content("#faults summary") == "This plan cannot keep 2 hard rules"
    assert visit.page.locator("#faults li").all_text_contents() == [say(sentence), say(sentence)]
    visit.context.close()


def test_keys_and_cautions_open_in_a_dialog(visit: Visit) -> None:
    plan = sample_plan()
    visit.page.click("#open-care")
    text = visit.page.text_content("#care") or ""
    assert visit.page.is_visible("#care")
    for notice in (*plan.warnings, *standing_advice(plan.demand, plan.day)):
        assert say(notice) in text
    visit.page.keyboard.press("Escape")
    assert visit.page.is_hidden("#care")
    visit.page.click("#stores")
    assert visit.page.get_attribute("#stores", "aria-pressed") == "true"
    assert visit.page.locator("#profile .s-bottle:visible").count() == 1


def test_a_ride_with_nothing_to_eat_still_has_its_map(browser: Browser, tmp_path: Path) -> None:
    write_map(replace(sample_plan(), fuel_points=(), bottles=()), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "desk")
    assert visit.page.locator(".map-mark:visible").count() == len(sample_plan().cautions)
    assert visit.complaints == []
    visit.context.close()
