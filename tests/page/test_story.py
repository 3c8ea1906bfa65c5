"""A rider at the kitchen table in a real browser: by mouse, by keyboard alone, by touch."""

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Locator, Page, expect

from tests.outputs.demo_plans import demo_plan
from tests.outputs.visiting import SIZES, WAIT_MS
from tests.page.opened import DEMO, open_page
from tests.page.story import Visitor
from tests.page.test_look_back import recording_of

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PANELS = ("rider", "day", "kitchen", "wishes", "chances", "beside", "along", "after")


def test_the_story_by_mouse(tmp_path: Path, browser: Browser) -> None:
    opened = open_page(tmp_path, *DEMO)
    context = browser.new_context(viewport={"width": 1440, "height": 900}, reduced_motion="reduce")
    try:
        visitor = Visitor.at(context.new_page())
        visitor.enter(opened.address)
        visitor.drop_route("loop-120.gpx")
        tell_by_mouse(visitor)
        state = visitor.state()
        assert visitor.complaints == []
        opened.end()
        opened = open_page(tmp_path, *DEMO)
        visitor.enter(opened.address)
        visitor.page.locator("#kept a").first.click()
        visitor.until("ride.state")
        again = visitor.state()
        assert (again["settings"], again["undo"]) == (state["settings"], state["undo"])
        visitor.planned()
        print_and_save(visitor.page, tmp_path)
    finally:
        context.close()
        opened.end()


def tell_by_mouse(visitor: Visitor) -> None:
    page = visitor.page
    visitor.open_panel("rider")
    visitor.after(lambda: enter(page, visitor.field("rider.ftp_w"), "235"))
    assert page.locator("#moved table").is_visible()
    gone = visitor.bites()[3]["item"]
    visitor.open_panel("kitchen")
    line = page.locator("#panel .items > li", has_text=gone).first
    line.locator("summary").first.click()
    visitor.after(lambda: line.get_by_text("Take it out").click())
    assert gone not in {bite["item"] for bite in visitor.bites()}
    assert page.locator("#profile .ghost").count() > 0
    assert page.locator("#map path.ghost").count() > 0

    fourth = visitor.bites()[3]
    target = visitor.place("free", fourth["at"] + 3000)
    visitor.after(lambda: drag(page, visitor.mark_on_profile(fourth), visitor.on_profile(target)))
    assert page.locator("#by-hand .wrong").is_hidden()
    assert min(abs(bite["at"] - target) for bite in visitor.bites()) < 300
    (pin,) = visitor.state()["settings"]["pins"]["eat_here"]
    assert pin["item"] == fourth["item"]

    held = visitor.place("hands", fourth["at"], least_m=300)
    moved = min(visitor.bites(), key=lambda bite: abs(float(bite["at"]) - target))
    before = visitor.state()["change"]
    drag(page, visitor.mark_on_profile(moved), visitor.on_profile(held))
    expect(page.locator("#by-hand .wrong")).to_contain_text("hands stay on the bars", timeout=WAIT_MS)
    visitor.settled()
    assert visitor.state()["change"] == before

    visitor.open_panel("wishes")
    page.locator(".draw-span").click()
    empty = visitor.place("free", 100_000)
    visitor.after(lambda: drag(page, visitor.on_profile(empty - 3000), visitor.on_profile(empty + 3000)))
    (span,) = visitor.state()["settings"]["pins"]["no_food"]
    assert not [b for b in visitor.bites() if span["from_km"] <= b["at"] / 1000 <= span["to_km"]]
    assert span["from_km"] == pytest.approx((empty - 3000) / 1000, abs=0.5)

    visitor.after(lambda: page.click("#undo"))
    visitor.after(lambda: page.click("#undo"))
    pins = visitor.state()["settings"]["pins"]
    assert (pins["no_food"], pins["eat_here"]) == ([], [])
    visitor.after(lambda: page.click("#redo"))
    assert visitor.state()["settings"]["pins"]["eat_here"] == [pin]


def enter(page: Page, field: Locator, text: str) -> None:
    field.fill(text)
    page.keyboard.press("Enter")


def type_in(page: Page, text: str) -> None:
    page.keyboard.type(text)
    page.keyboard.press("Enter")


def drag(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(start[0] + 10, start[1], steps=2)
    page.mouse.move(*end, steps=6)
    page.mouse.up()


def print_and_save(page: Page, home: Path) -> None:
    page.click("[data-panel=along]")
    page.click("#panel button.chief")
    page.wait_for_selector("#panel .items li")
    folder = next((home / "terrain-fuel/rides").glob("ride-*"))
    for name in ("sticker.pdf", "ride.zip"):
        with page.expect_download() as coming:
            page.locator(f"#panel a[download='{name}']").click()
        saved = Path(coming.value.path()).read_bytes()
        assert saved[:4] in (b"%PDF", b"PK\x03\x04")
        if name != "ride.zip":
            assert saved == (folder / name).read_bytes()
    assert page.locator("#panel a[href$='print/sheet.pdf']").get_attribute("target") == "_blank"


def tab_to(page: Page, selector: str, most: int = 200) -> None:
    """Press Tab until something that fits has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("selector => document.activeElement.matches(selector)", selector):
            return
    raise AssertionError(f"no Tab leads to {selector}")


def test_the_story_by_keyboard_alone(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("desk")
    page, press = visitor.page, visitor.page.keyboard.press
    tab_to(page, "#offered button")
    press("Tab")  # the second: the loop
    press("Enter")
    page.wait_for_selector("#hours .row.eat")
    visitor.planned()
    assert page.locator("[data-panel=rider]").get_attribute("aria-expanded") == "true"  # for a new ride
    tab_to(page, "[data-setting='rider.ftp_w']")
    press("Control+a")
    visitor.after(lambda: type_in(page, "235"))
    page.evaluate("document.getElementById('undo').focus()")
    tab_to(page, "[data-panel=kitchen]")
    press("Enter")
    tab_to(page, "#panel .stepper button")
    visitor.after(lambda: press("Enter"))

    page.evaluate("document.getElementById('undo').focus()")
    tab_to(page, "#hours button[data-key]")
    for _ in range(60):
        press("ArrowUp")
        if page.evaluate("document.activeElement.matches('.row.eat')"):
            break
    key = page.evaluate("document.activeElement.dataset.key")
    press("Enter")
    tab_to(page, "#by-hand input[type=range]")
    at = float(visitor.shown()["bites"][key]["at"])
    target = visitor.place("free", at + 1500)
    for _ in range(round(abs(target - at) / 100)):
        press("ArrowRight" if target > at else "ArrowLeft")
    assert "may stand here" in page.locator("#by-hand output").inner_text()
    tab_to(page, "#by-hand button.chief")
    visitor.after(lambda: press("Enter"))
    (pin,) = visitor.state()["settings"]["pins"]["eat_here"]
    assert pin["at_km"] == pytest.approx(target / 1000, abs=0.2)

    tab_to(page, "#by-hand input[type=range]")
    press("Home")
    held = visitor.place("hands", at, least_m=200)
    page.evaluate(
        "at => { const s = document.querySelector('#by-hand input'); s.value = at - 100; }",
        100 * round(held / 100),
    )
    press("ArrowRight")
    assert "hands stay on the bars" in page.locator("#by-hand output").inner_text()
    assert page.locator("#by-hand button.chief").is_disabled()

    page.evaluate("document.getElementById('undo').focus()")
    tab_to(page, "[data-panel=wishes]")
    press("Enter")
    tab_to(page, "#panel input.number")
    page.keyboard.type("100")
    press("Tab")
    page.keyboard.type("104")
    press("Tab")
    visitor.after(lambda: press("Enter"))
    (span,) = visitor.state()["settings"]["pins"]["no_food"]
    assert (span["from_km"], span["to_km"]) == (100, 104)
    page.evaluate("document.querySelector('#panel h2').focus()")
    visitor.after(lambda: press("Control+z"))
    visitor.after(lambda: press("Control+z"))
    assert visitor.state()["settings"]["pins"]["eat_here"] == []
    visitor.after(lambda: press("Control+Shift+z"))
    assert visitor.state()["settings"]["pins"]["eat_here"] == [pin]
    assert visitor.complaints == []


def test_the_story_by_touch(visit: Callable[[str], Visitor]) -> None:
    visitor = visit("phone")
    page = visitor.page
    page.locator("#offered button").nth(1).tap()
    page.wait_for_selector("#hours .row.eat")
    visitor.planned()
    if page.locator("#first-steps").is_visible():  # the first ride of all
        page.get_by_text("Not now").tap()
    page.locator("[data-panel=kitchen]").tap()
    visitor.after(page.locator("#panel .stepper button").first.tap)
    page.locator("[data-panel=kitchen]").tap()
    if page.locator("#moved").is_visible():
        page.get_by_text("Keep it").tap()
    page.locator("[data-room=profile]").tap()
    fourth = visitor.bites()[3]
    target = visitor.place("free", fourth["at"] + 4000)
    visitor.after(lambda: swipe(page, visitor.mark_on_profile(fourth), visitor.on_profile(target)))
    (pin,) = visitor.state()["settings"]["pins"]["eat_here"]
    assert pin["at_km"] == pytest.approx(target / 1000, abs=0.8)
    page.get_by_text("Keep it").tap()
    held = visitor.place("hands", fourth["at"], least_m=300)
    before = visitor.state()["change"]
    moved = min(visitor.bites(), key=lambda bite: abs(float(bite["at"]) - 1000 * pin["at_km"]))
    swipe(page, visitor.mark_on_profile(moved), visitor.on_profile(held))
    expect(page.locator("#by-hand .wrong")).to_contain_text("hands stay on the bars", timeout=WAIT_MS)
    visitor.settled()
    assert visitor.state()["change"] == before
    visitor.after(lambda: page.locator("#undo").tap())
    assert visitor.state()["settings"]["pins"]["eat_here"] == []
    assert visitor.complaints == []


def swipe(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Drag with a finger."""
    wire = page.context.new_cdp_session(page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        wire.send(
            "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in points]}
        )

    touch("touchStart", start)
    for share in (0.1, 0.3, 0.6, 1.0):
        touch("touchMove", (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])))
    page.wait_for_timeout(200)  # a finger that rests: a fling would swallow the next tap
    touch("touchMove", end)
    touch("touchEnd")


@pytest.mark.parametrize("size", list(SIZES))
def test_every_view_can_be_used_by_everybody(visit: Callable[[str], Visitor], size: str) -> None:
    visitor = visit(size)
    page = visitor.page
    assert faults(page) == []
    page.locator("#offered button").nth(1).click()
    page.wait_for_selector("#hours .row.eat")
    visitor.planned()
    for panel in PANELS:
        visitor.open_panel(panel)
        for summary in page.locator("#panel summary").all()[:12]:
            summary.click()
        assert faults(page) == [], panel
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0, panel
        assert spilled(page) == [], panel
    assert visitor.complaints == []


@pytest.mark.parametrize("size", list(SIZES))
def test_a_recording_is_dropped_ticked_and_learned_from(
    visit: Callable[[str], Visitor], size: str, tmp_path: Path
) -> None:
    visitor = visit(size)
    page = visitor.page
    page.locator("#offered button").nth(2).click()
    page.wait_for_selector("#hours .row.eat", state="attached")
    visitor.planned()
    visitor.open_panel("after")
    recording = tmp_path / "ride.gpx"
    recording.write_bytes(recording_of(demo_plan("rolling-60")))
    page.locator("#panel .drop-here input").set_input_files(recording)
    page.wait_for_selector("#panel .bite")
    bites = page.locator("#panel .bite")
    assert bites.count() == len(visitor.bites())
    bites.nth(0).get_by_text("eaten").click()
    bites.nth(1).get_by_text("left").click()
    page.locator("#panel [data-key=C1]").select_option("7")
    page.locator("#panel [data-key=D1]").fill("71")
    page.locator("#panel [data-key=D2]").fill("69.9")
    page.get_by_text("Keep this").click()
    page.get_by_text("Kept in the log.").wait_for()
    ticked = page.eval_on_selector_all("#panel [data-bite]:checked", "all => all.map(e => e.value)")
    assert ticked == ["eaten", "left"]
    assert faults(page) == []
    assert spilled(page) == []
    before = visitor.state()["settings"]["rider"]
    visitor.after(lambda: page.get_by_text("Take it into the settings").click())
    assert visitor.state()["settings"]["rider"] != before
    visitor.after(lambda: page.click("#undo"))
    assert visitor.state()["settings"]["rider"] == before
    page.get_by_text("Take the recording out").click()
    page.get_by_text("Out of this ride and out of the log").click()
    page.locator("#panel .bite").first.wait_for(state="detached")
    assert visitor.complaints == []


def spilled(page: Page) -> list[str]:
    """Return what of the panels is wider than its room; what is only heard needs none."""
    found: list[str] = page.eval_on_selector_all(
        "#side *, #bar *",
        "all => all.filter(e => e.clientWidth && e.scrollWidth > e.clientWidth + 1"
        " && !e.matches('input, select, .unseen, .wide, .wide *'))"
        ".map(e => e.className + e.textContent.slice(0, 40))",
    )
    return found


@pytest.mark.parametrize("size", list(SIZES))
def test_three_steps_lead_a_first_visit_to_its_plan(browser: Browser, tmp_path: Path, size: str) -> None:
    opened = open_page(tmp_path, *DEMO)
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce")
    try:
        visitor = Visitor.at(context.new_page())
        visitor.enter(opened.address)
        go_three_steps(visitor)
        visitor.enter(opened.address)
        visitor.page.locator("#offered button").nth(2).click()
        visitor.planned()
        assert visitor.page.locator("#first-steps").is_hidden()
        assert visitor.complaints == []
    finally:
        context.close()
        opened.end()


def go_three_steps(visitor: Visitor) -> None:
    """Nothing is asked but one sentence and what is in the kitchen: nine touches from route to plan."""
    page = visitor.page
    page.locator("#offered button").nth(2).click()
    page.wait_for_selector("#hours .row.eat")
    visitor.planned()
    page.get_by_text("Begin", exact=True).click()
    heading = page.locator("#panel h2").first
    assert heading.inner_text() == "1 of 3: who rides"
    assert faults(page) == []
    numbers = page.locator("#panel fieldset input")
    numbers.nth(0).fill("60")
    page.locator("#panel fieldset select").select_option("rolling")
    numbers.nth(1).fill("2.5")
    visitor.after(page.get_by_text("Take my word").click)
    flat = visitor.state()["settings"]["day"]["day"]["effort_flat"]
    page.get_by_role("button", name="On", exact=True).click()
    assert heading.inner_text() == "2 of 3: what is in the kitchen"
    visitor.after(page.locator("#panel .stepper button").first.click)
    assert faults(page) == []
    page.get_by_role("button", name="On", exact=True).click()
    assert heading.inner_text() == "3 of 3: your plan"
    assert "60.0 km" in page.locator("#panel .figures").inner_text()
    assert "ask a doctor" in page.locator("#panel").inner_text()
    assert faults(page) == []
    assert spilled(page) == []
    page.get_by_role("button", name="To the road").click()
    assert page.locator("#panel .guide").count() == 0
    assert visitor.state()["settings"]["day"]["day"]["effort_flat"] == flat


def faults(page: Page) -> list[str]:
    return [
        f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in Axe().run(page).response["violations"]
    ]


ROOMS = ("#bar", "#side", "#slot", "#strip", "#about", "#map-room", "#profile")


def rooms_of(page: Page) -> dict[str, tuple[float, float, float, float]]:
    """Return left, top, right and bottom of what is seen of the page's rooms [px]."""
    found: dict[str, tuple[float, float, float, float]] = page.evaluate(
        "all => Object.fromEntries(all.map((s) => [s, document.querySelector(s).getBoundingClientRect()])"
        ".filter(([, r]) => r.width).map(([s, r]) => [s, [r.left, r.top, r.right, r.bottom]]))",
        ROOMS,
    )
    return found


def do_not_cover(page: Page) -> None:
    """Check that no room covers another, and that each has room."""
    boxes = rooms_of(page)
    assert {"#bar", "#slot", "#about", "#map-room", "#profile"} <= boxes.keys()
    for one, (left, top, right, bottom) in boxes.items():
        assert right - left > 300, one
        assert bottom - top > (30 if one == "#bar" else 50), one
        assert bottom <= page.evaluate("innerHeight") + 1, one
        for other, (low_x, low_y, high_x, high_y) in boxes.items():
            apart = right <= low_x + 1 or high_x <= left + 1 or bottom <= low_y + 1 or high_y <= top + 1
            assert apart or one == other, (one, other)


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (1199, 640), (1024, 768), (961, 520)])
def test_the_bar_the_side_and_the_rooms_do_not_cover_each_other(
    browser: Browser, tmp_path: Path, width: int, height: int
) -> None:
    """With the first steps offered, with a panel, with a card beside it, and with what moved beneath both."""
    opened = open_page(tmp_path, *DEMO)
    context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce")
    try:
        visitor = Visitor.at(context.new_page())
        page = visitor.page
        visitor.enter(opened.address)
        page.locator("#offered button").nth(2).click()
        page.wait_for_selector("#hours .row.eat")
        visitor.planned()
        assert page.locator("#first-steps").is_visible()
        do_not_cover(page)
        page.get_by_text("Not now").click()
        visitor.open_panel("kitchen")
        do_not_cover(page)
        page.locator("#profile .mark.eat:visible").nth(1).click()
        assert page.locator("#card").is_visible()
        do_not_cover(page)
        visitor.after(lambda: visitor.page.get_by_role("button", name="one oat square less").click())
        while page.locator("#moved").is_hidden():
            visitor.after(lambda: visitor.page.get_by_role("button", name="one oat square less").click())
        do_not_cover(page)
        page.locator("[data-panel=kitchen]").click()
        do_not_cover(page)
        assert visitor.complaints == []
    finally:
        context.close()
        opened.end()
