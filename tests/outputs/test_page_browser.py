"""The map page in a real browser with the network cut: what it shows, how it is used, who can use it."""

from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.facts import fact
from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.outputs.map.page_data import page_data
from terrain_fuel.plan import Violation
from tests.outputs.sample_plan import RTL_NAME, sample_plan
from tests.outputs.visiting import ROOMS, SHOWN, Visit
from tests.saying import say

pytestmark = pytest.mark.browser


def test_nothing_is_fetched_and_nothing_complains(browser: Browser, page_file: Path) -> None:
    visit = Visit(browser, page_file, "desk")
    visit.page.click("#open-key")
    visit.page.keyboard.press("Escape")
    before = visit.page.evaluate("roadMap.getZoom()")
    visit.page.click(".leaflet-control-zoom-in")
    visit.until(f"roadMap.getZoom() > {before} && !roadMap._animatingZoom")
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


def test_labels_and_distances_agree_in_strip_map_and_profile(visit: Visit) -> None:
    plan = sample_plan()
    labelled = {f"p{point.number}": point for point in plan.fuel_points if point.label}
    rows = visit.page.eval_on_selector_all(
        "#hours .row:is(.eat, .refill)",
        "all => all.map(e => [e.dataset.key, e.querySelector('.far').textContent,"
        " e.querySelector('.sign text').textContent])",
    )
    assert [key for key, _, _ in rows] == list(labelled)
    for key, distance, label in rows:
        assert distance == f"{labelled[key].distance_m / 1000:.1f}"
        assert label == labelled[key].label
    onmap = visit.page.eval_on_selector_all(
        ".map-mark:has(.eat, .refill)",
        "all => all.map(e => [e.dataset.key, e.querySelector('text').textContent])",
    )
    assert dict(onmap) == {key: point.label for key, point in labelled.items()}
    # for the printer the profile is made at every width, on screen at the one that is shown
    assert [
        sheet.query_selector("svg") is not None for sheet in visit.page.query_selector_all("#profile > div")
    ].count(True) <= 1
    visit.page.evaluate("dispatchEvent(new Event('beforeprint')); dispatchEvent(new Event('afterprint'))")
    sheets = visit.page.query_selector_all("#profile > div")
    assert len(sheets) == 4
    for sheet in sheets:
        marks = sheet.eval_on_selector_all(
            ".mark:not(.sip)", "all => all.map(e => ['p' + e.dataset.number, e.textContent])"
        )
        assert dict(marks) == dict(onmap)


def test_every_sip_has_a_ring_and_a_row_on_the_strip(visits: dict[str, Visit]) -> None:
    page = visits["desk"].page
    told = " ".join(page.locator("#hours .row.sips .far").all_text_contents())
    sips = [point for point in sample_plan().fuel_points if point.action == "sip"]
    assert told.replace(" · ", " ").split() == [f"{sip.distance_m / 1000:.1f}" for sip in sips]
    rings = page.eval_on_selector_all(
        ".ribbon .sip-rings", "all => all.map(e => (e.getAttribute('d').match(/M/g) || []).length)"
    )
    assert sum(rings) == len(sips)


def test_hostile_names_are_shown_as_they_are(visit: Visit) -> None:
    assert visit.page.evaluate("window.hacked") is None
    assert visit.page.text_content("#route-name") == sample_plan().name
    strip = visit.page.text_content("#hours") or ""
    for point in sample_plan().fuel_points:
        if point.action == "eat":
            assert point.item in strip
    assert visit.page.locator("img:not(.leaflet-image-layer)").count() == 0


def test_a_name_read_from_the_right_leaves_its_neighbours_in_order(visits: dict[str, Visit]) -> None:
    page = visits["desk"].page
    names = page.locator("#hours .what [dir=auto]", has_text=RTL_NAME)
    assert names.count() >= 1
    for name in names.all():
        assert name.evaluate("e => getComputedStyle(e).unicodeBidi") == "isolate"
        assert name.evaluate("e => e.matches(':dir(rtl)')") in (True, False)
    # a place of that name alone reads from the right, and its distance still stands before it
    place = page.locator("#hours .row.place", has_text=RTL_NAME).first
    assert place.locator("[dir=auto]").first.evaluate("e => e.matches(':dir(rtl)')")
    far, what = (place.locator(part).bounding_box() for part in (".far", ".what"))
    assert far is not None
    assert what is not None
    assert far["x"] + far["width"] <= what["x"] + 1


def test_choosing_by_mouse_lights_all_three_and_opens_the_card(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    plan = sample_plan()
    eats = [point for point in plan.fuel_points if point.action == "eat"]
    for room, selector in (
        ("strip", "#hours [data-key=p{0}]"),
        ("map", ".map-mark[data-key=p{0}]"),
        ("profile", "#profile .width-960 [data-number='{0}']"),
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
    assert visit.page.is_visible("#now")
    assert visit.lit() == {"map": [], "strip": [], "profile": []}


def test_choosing_by_touch(visits: dict[str, Visit]) -> None:
    visit = visits["phone"]
    number = next(point.number for point in sample_plan().fuel_points if point.action == "refill")
    visit.page.keyboard.press("Escape")
    visit.show("profile")
    visit.page.tap(f"#profile .width-358 [data-number='{number}']")
    assert visit.lit() == {room: [f"p{number}"] for room in ROOMS}
    visit.page.tap("#card-on")
    assert visit.page.is_visible("#card")
    assert visit.lit()["strip"] not in ([], [f"p{number}"])
    visit.page.tap("#card-close")
    visit.show("map-room")
    visit.page.tap(f".map-mark[data-key=p{number}]")
    assert visit.lit()["profile"] == [f"p{number}"]
    visit.show("strip")


def test_names_on_map_and_strip_are_chosen_like_points(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    visit.page.keyboard.press("Escape")
    name = visit.page.locator(".map-name:visible", has_text="Øvre Dal")
    name.click()
    assert visit.page.text_content("#card-title") == "Øvre Dal"
    assert visit.lit()["strip"] == [name.get_attribute("data-key")]
    visit.page.locator("#hours .row.foot").first.click()
    assert "Climb" in visit.page.locator("#card dt").all_text_contents()


def test_a_sip_is_chosen_on_its_small_ring(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    visit.page.keyboard.press("Escape")
    sip = next(point for point in sample_plan().fuel_points if point.action == "sip")
    visit.page.click(f"#profile .width-960 [data-number='{sip.number}']")
    assert visit.lit() == {room: [f"p{sip.number}"] for room in ROOMS}


@pytest.mark.slow
def test_the_map_keeps_still_and_the_whole_road_comes_back(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    visit.open()
    page = visit.page
    centre = "[roadMap.getCenter().lat, roadMap.getCenter().lng, roadMap.getZoom()]"
    before = page.evaluate(centre)
    for key in page.eval_on_selector_all(".map-mark", "all => all.map(e => e.dataset.key)")[::9]:
        page.evaluate(f"ridePage.choose('{key}')")
        assert page.evaluate(centre) == before
    for _ in range(30):
        page.evaluate("roadMap.zoomIn(1, {animate: false})")
    zoom = page.evaluate("roadMap.getZoom()")
    assert zoom <= 16
    assert page.get_attribute(".leaflet-control-zoom-in", "aria-disabled") == "true"
    page.click(".whole-road")
    assert page.evaluate("roadMap.getZoom()") == pytest.approx(before[2], abs=0.26)


@pytest.mark.parametrize(
    ("room", "marks"),
    [
        ("#hours", "#hours [data-key]"),
        ("#map", ".map-mark"),
        ("#profile .width-960 svg", "#profile .width-960 .mark"),
    ],
)
def test_choosing_by_keyboard(visits: dict[str, Visit], room: str, marks: str) -> None:
    visit = visits["desk"]
    visit.open()
    page = visit.page
    stops = page.locator(f"{room} [tabindex='0']:is(button, .mark)")
    assert stops.count() == 1  # one tab stop a room
    page.locator(marks + ":not(.sip):visible").nth(2).focus()
    focused = "document.activeElement.dataset.key || 'p' + document.activeElement.dataset.number"
    first = page.evaluate(focused)
    page.keyboard.press("ArrowRight")
    second = page.evaluate(focused)
    assert second != first
    page.keyboard.press("Enter")
    assert visit.lit()["strip"] == [second]
    assert page.evaluate("document.activeElement.id") == "card-title"
    page.keyboard.press("Escape")
    assert page.is_hidden("#card")
    assert page.evaluate(focused) == second


def test_the_tab_key_meets_every_room_in_order(visits: dict[str, Visit]) -> None:
    visits["desk"].open()
    page = visits["desk"].page
    met = []
    for _ in range(20):
        page.keyboard.press("Tab")
        met.append(
            page.evaluate(
                "document.activeElement.closest('#now, #about, #map-room, #profile, #strip, .skip')?.id ?? ''"
            )
        )
    rooms = [room for i, room in enumerate(met) if i == 0 or met[i - 1] != room]
    assert rooms[:6] == ["", "now", "strip", "about", "map-room", "profile"]


AXE_RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]}
OPEN_CARD = "document.querySelector('#hours button.eat').click()"
OPEN_DIALOG = "document.getElementById('open-care').click()"
OPEN_HERE = "document.getElementById('open-here').click()"


def check_access(visit: Visit, states: list[str]) -> None:
    """Run the engine on the page as it is and after each of some steps."""
    for state in states:
        visit.page.evaluate(state)
        found = Axe().run(visit.page, options=AXE_RULES).response
        assert found["passes"]
        faults = [
            (fault["id"], [node["html"][:160] for node in fault["nodes"][:3]])
            for fault in found["violations"]
        ]
        assert faults == []


@pytest.mark.source("WCAG22", "levels A and AA as far as an engine can tell")
@pytest.mark.parametrize(
    ("size", "scheme", "states"),
    [
        ("phone", "dark", [OPEN_CARD]),
        pytest.param("desk", "light", ["null", OPEN_CARD, OPEN_DIALOG], marks=pytest.mark.slow),
    ],
)
def test_an_accessibility_engine_finds_nothing(
    browser: Browser, page_file: Path, size: str, scheme: str, states: list[str]
) -> None:
    visit = Visit(browser, page_file, size, scheme)
    check_access(visit, states)
    visit.context.close()


@pytest.mark.slow
@pytest.mark.source("WCAG22", "levels A and AA as far as an engine can tell")
@pytest.mark.parametrize(
    ("size", "scheme"), [("small phone", "light"), ("phone on its side", "dark"), ("large desk", "dark")]
)
def test_an_accessibility_engine_finds_nothing_in_any_room(
    browser: Browser, page_file: Path, size: str, scheme: str
) -> None:
    visit = Visit(browser, page_file, size, scheme)
    rooms = [f"document.querySelector('#rooms [data-room={room}]').click()" for room in SHOWN]
    check_access(visit, [*rooms, OPEN_CARD, OPEN_DIALOG])
    visit.page.keyboard.press("Escape")
    check_access(visit, [OPEN_HERE])
    visit.context.close()


def test_a_road_without_relief_has_a_quiet_grid_and_hachures_of_its_own(
    browser: Browser, tmp_path: Path
) -> None:
    write_map(sample_plan("miles", False), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "desk")
    assert len(visit.page.get_attribute("path.net", "d") or "") > 100
    assert (visit.page.get_attribute("path.fringe", "d") or "").count("M") > 100
    assert visit.page.locator(".leaflet-image-layer").count() == 0
    assert visit.page.locator(".north").count() == 1
    assert " mi" in (visit.page.text_content(".leaflet-control-scale") or "")
    visit.page.click("#open-key")
    assert visit.page.is_visible("#key-own")
    assert visit.page.locator("#strip .compass").count() > 0
    assert visit.page.is_visible("#key .compass")  # what the strip draws is explained, in the same ink
    inks = visit.page.locator(".compass circle").evaluate_all(
        "all => all.map((e) => getComputedStyle(e).stroke)"
    )
    assert len(set(inks)) == 1
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
    full = Violation(5, "full pockets", 0.0, 75_000.0, 2.0, "items", fact("nothing"))
    write_map(replace(sample_plan(), violations=(broken, broken, broken, full)), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "phone")
    assert visit.page.is_visible("#faults")
    # three gaps are one rule that is not kept
    assert visit.page.text_content("#faults summary") == "This plan cannot keep 2 hard rules"
    told = [say(fact("nothing")), f"{say(sentence)} (2 more such places)"]
    assert visit.page.locator("#faults li").all_text_contents() == told
    visit.context.close()


def test_keys_and_cautions_open_in_a_dialog(visit: Visit) -> None:
    plan = sample_plan()
    visit.show("about")
    visit.page.click("#open-care")
    text = visit.page.text_content("#care") or ""
    assert visit.page.is_visible("#care")
    for notice in (*plan.warnings, *standing_advice(plan.demand, plan.day)):
        assert say(notice) in text
    visit.page.keyboard.press("Escape")
    assert visit.page.is_hidden("#care")
    visit.page.click("#stores")
    assert visit.page.get_attribute("#stores", "aria-pressed") == "true"
    visit.show("profile")
    assert visit.page.locator("#profile .s-bottle:visible").count() == 1


@pytest.mark.slow
def test_another_ride_is_shown_without_a_reload(browser: Browser, page_file: Path) -> None:
    visit = Visit(browser, page_file, "desk")
    visit.page.evaluate("window.stays = 1")
    other = replace(sample_plan("miles", False), name="The other way")
    visit.page.evaluate("data => ridePage.show(data)", page_data(other))
    assert visit.page.evaluate("window.stays") == 1
    assert visit.page.text_content("#route-name") == "The other way"
    assert visit.page.locator(".leaflet-image-layer").count() == 0
    assert visit.page.locator(".leaflet-control-scale").count() == 1
    first = next(point for point in other.fuel_points if point.action == "eat")
    row = visit.page.locator(f"#hours [data-key=p{first.number}] .far")
    assert row.text_content() == f"{first.distance_m / 1609.344:.1f}"
    shown = [visit.page.locator(each).count() for each in (".map-mark", "#hours section", "#profile svg")]
    visit.page.evaluate("data => ridePage.show(data)", page_data(other))
    again = [visit.page.locator(each).count() for each in (".map-mark", "#hours section", "#profile svg")]
    assert again == shown
    assert visit.complaints == []
    visit.context.close()


def test_a_ride_with_nothing_to_eat_still_has_its_map(browser: Browser, tmp_path: Path) -> None:
    write_map(replace(sample_plan(), fuel_points=(), bottles=()), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "desk")
    assert visit.page.locator(".map-mark").count() == len(sample_plan().cautions)
    assert visit.complaints == []
    visit.context.close()
