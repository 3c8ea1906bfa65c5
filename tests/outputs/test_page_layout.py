"""The map page's boxes on phones, on desks and on paper: nothing over another, nothing cut."""

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.plan import Plan
from tests.circuits import ring, track_through
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan, planned
from tests.outputs.sample_plan import sample_plan
from tests.outputs.visiting import ALL_SIZES, SHOWN, Visit

pytestmark = pytest.mark.browser

LARGE_PAGE_BYTES = 1_000_000

ONE_LABEL_PX = 28
"""Width of a mark with one label, 1.75 rem."""

NEVER_OVER_ONE_ANOTHER = {
    "strip": ("#slot, #strip, #rooms", "#hours .row, #hours h2", "#hours .row.eat > *", "#now button"),
    "map-room": ("#slot, #map-room, #rooms", "#map :is(.map-mark, .map-name, .map-label, .leaflet-control)"),
    "profile": ("#slot, #profile, #rooms",),
    "about": ("#totals div", "#about button", "#slot, #about, #rooms"),
}


def _overlap(one: dict[str, Any], other: dict[str, Any], slack: float = 1.0) -> bool:
    return bool(
        one["left"] < other["right"] - slack
        and other["left"] < one["right"] - slack
        and one["top"] < other["bottom"] - slack
        and other["top"] < one["bottom"] - slack
    )


def overlaps(boxes: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """Return which pairs of boxes lie over one another."""
    return [
        (one["key"][:40], other["key"][:40])
        for i, one in enumerate(boxes)
        for other in boxes[i + 1 :]
        if _overlap(one, other)
    ]


def check_rooms(visit: Visit) -> None:
    """In no room does anything lie over another or reach out of its pane."""
    for room in SHOWN:
        visit.show(room)
        for selector in NEVER_OVER_ONE_ANOTHER[room]:
            assert overlaps(visit.boxes(selector)) == [], (room, selector)
        check_uncut(visit, room)
        if room == "map-room":
            check_name_leaders(visit)
        if room == "profile":
            for sheet in visit.page.query_selector_all("#profile svg:visible"):
                check_profile(sheet)


def check_profile(sheet: Any) -> None:
    """In a panel of the profile no mark lies over another, no text over a text, and none is cut."""
    boxes = sheet.evaluate(
        "e => { const box = r => ({left: r.left, top: r.top, right: r.right, bottom: r.bottom});"
        " const all = s => [...e.querySelectorAll(s)].map(m => ({...box(m.getBoundingClientRect()),"
        " key: m.textContent}));"
        " return [all('.mark:not(.sip)'), all('text.t-quiet'), [box(e.getBoundingClientRect())]]; }"
    )
    marks, texts, [frame] = boxes
    assert overlaps(marks) == overlaps(texts) == []
    assert all(inside(box, frame) for box in (*marks, *texts))


def check_name_leaders(visit: Visit) -> None:
    """No line from a place to its name crosses another one's."""
    path = visit.page.get_attribute("path.name-leader", "d") or ""
    lines = [
        (complex(float(x0), float(y0)), complex(float(x1), float(y1)))
        for x0, y0, x1, y1 in re.findall(r"M(-?[\d.]+) (-?[\d.]+)L(-?[\d.]+) (-?[\d.]+)", path)
    ]

    def side(start: complex, end: complex, at: complex) -> float:
        return ((end - start).conjugate() * (at - start)).imag

    for number, (start, end) in enumerate(lines):
        for other, other_end in lines[number + 1 :]:
            parts = side(start, end, other) * side(start, end, other_end)
            assert parts >= 0.0 or side(other, other_end, start) * side(other, other_end, end) >= 0.0


def inside(box: dict[str, Any], frame: dict[str, Any], slack: float = 1.5) -> bool:
    """Return whether a box lies in another."""
    return bool(
        box["left"] >= frame["left"] - slack
        and box["right"] <= frame["right"] + slack
        and box["top"] >= frame["top"] - slack
        and box["bottom"] <= frame["bottom"] + slack
    )


def check_uncut(visit: Visit, room: str) -> None:
    """No mark, name or text reaches out of its room, no room out of the screen sideways."""
    size = visit.page.viewport_size
    assert size is not None
    assert visit.page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    panes = visit.boxes(f"#{room}")
    for pane in panes:
        assert pane["left"] >= -1
        assert pane["right"] <= size["width"] + 1
    for frame in visit.boxes("#map-room"):
        for box in visit.boxes("#map :is(.map-mark, .map-name, .map-label)"):
            assert inside(box, frame), box
    spilled = visit.page.eval_on_selector_all(
        "h1, h2, h3, dd, dt, p, button:not(.map-mark, .map-name), .what, .far, #faults",
        "all => all.filter(e => e.clientWidth > 1 && e.scrollWidth > e.clientWidth + 1)"
        ".map(e => e.id + e.className + e.textContent)",
    )
    assert spilled == []


def check_choosing(visit: Visit, every: int = 1) -> None:
    """Whatever is chosen, row and marks are in sight in their panes; closing leaves all as it was."""
    page = visit.page
    keys = page.eval_on_selector_all("#hours [data-key]", "all => all.map(e => e.dataset.key)")
    for room in ("strip", "map-room"):
        visit.show(room)
        before = visit.boxes("#strip, #map-room, #slot")
        for key in keys[::every]:
            page.evaluate(f"ridePage.choose('{key}')")
            assert page.evaluate("document.documentElement.scrollHeight") <= page.evaluate("innerHeight") + 1
            card = visit.boxes("#card")[0]
            for strip in visit.boxes("#strip"):
                row = visit.boxes(f"#hours [data-key={key}]")[0]
                assert inside(row, strip), (key, row, strip)
                assert not _overlap(card, row)
            for pane in visit.boxes("#map-room"):
                for box in visit.boxes("#map :is(.map-mark, .map-name)"):
                    assert inside(box, pane), (key, box)
                assert not _overlap(card, pane)
        page.evaluate("ridePage.choose('')")
        assert visit.boxes("#strip, #map-room, #slot") == before


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_nothing_overlaps_and_nothing_is_cut(visits: dict[str, Visit], size: str) -> None:
    visits[size].open()
    check_rooms(visits[size])


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_what_is_chosen_stays_in_its_pane(visits: dict[str, Visit], size: str) -> None:
    visits[size].open()
    check_choosing(visits[size], every=7)


@pytest.mark.slow
@pytest.mark.parametrize("large_text", [False, True], ids=["text 100 %", "text 200 %"])
@pytest.mark.parametrize("size", list(ALL_SIZES))
def test_no_size_of_screen_or_text_loses_anything(
    browser: Browser, page_file: Path, size: str, large_text: bool
) -> None:
    scheme = "dark" if size == "phone on its side" else "light"
    visit = Visit(browser, page_file, size, scheme, large_text=large_text)
    check_rooms(visit)
    if not large_text:
        visit.open()
        check_choosing(visit, every=2)
    visit.context.close()


def check_targets(visit: Visit, least: float) -> None:
    """Whatever is pressed is large enough in every room, on the card and in the dialogs."""
    pressed = "button, summary, input, [role=button], .leaflet-bar a"
    for room in SHOWN:
        visit.show(room)
        small = [box for box in visit.boxes(pressed) if min(box["width"], box["height"]) < least]
        assert small == [], room
    for opener in ("#hours button.eat", "#open-here", "#open-key"):
        visit.page.evaluate(f"document.querySelector('{opener}').click()")
        small = [box for box in visit.boxes(pressed) if min(box["width"], box["height"]) < least]
        assert small == [], opener
        visit.page.keyboard.press("Escape")


@pytest.mark.source("WCAG22", "success criteria 2.5.5 and 2.5.8, target size: 44 by 44 and 24 by 24 pixels")
@pytest.mark.parametrize(("size", "least"), [("phone", 47.9), ("desk", 23.9)])
def test_targets_are_large_enough(visits: dict[str, Visit], size: str, least: float) -> None:
    visits[size].open()
    check_targets(visits[size], least)


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_the_sheets_it_says(
    browser: Browser, page_file: Path, tmp_path: Path, paper: str
) -> None:
    visit = Visit(browser, page_file, "phone" if paper == "A4" else "desk")
    said = re.search(r"\d+", visit.page.text_content("#print") or "")
    visit.page.pdf(path=tmp_path / "map.pdf", format=paper)
    visit.context.close()
    pages = PdfReader(tmp_path / "map.pdf").pages
    assert said is not None
    assert len(pages) == int(said.group())
    check_foot_is_blank(tmp_path / "map.pdf")
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    for point in sample_plan().fuel_points:
        assert f"{point.distance_m / 1000:.1f}" in text
    assert "oat square" in text


def check_foot_is_blank(path: Path, foot_mm: float = 12.0) -> None:
    """Nothing of the next sheet's strips is drawn at the foot of the first."""
    with pypdfium2.PdfDocument(path) as document:
        picture = document[0].render(scale=2.0).to_pil().convert("L")
    foot = picture.crop((0, round(picture.height - 2.0 * foot_mm * 72.0 / 25.4), *picture.size))
    assert foot.getextrema() == (255, 255)


@pytest.mark.slow
@pytest.mark.parametrize(("size", "panels", "sheets"), [("phone", 2, 3), ("desk", 6, 5)])
def test_the_map_is_printed_and_a_long_profile_has_its_own_sheets(
    browser: Browser, page_file: Path, tmp_path: Path, size: str, panels: int, sheets: int
) -> None:
    """The map fills its place with the road in it; two sheets of strips, four panels to a sheet."""
    visit = Visit(browser, page_file, size)
    longer = f"{{...p, panels: Array({panels}).fill(p.panels[0])}}"
    data = "JSON.parse(document.getElementById('ride').textContent)"
    visit.page.evaluate(
        f"{{const d = {data}; ridePage.show({{...d, profiles: d.profiles.map(p => ({longer}))}})}}"
    )
    said = int(re.findall(r"\d+", visit.page.text_content("#print") or "")[0])
    assert said == sheets
    visit.page.pdf(path=tmp_path / "map.pdf", format="Letter")
    assert len(PdfReader(tmp_path / "map.pdf").pages) == said
    visit.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    (room,) = visit.boxes("#map")
    assert room["height"] >= 290
    marks = visit.boxes("#map .map-mark:not([hidden])")
    assert len(marks) >= 10
    spread = max(mark["top"] for mark in marks) - min(mark["top"] for mark in marks)
    assert spread > 0.4 * room["height"]
    assert all(room["left"] <= m["left"] and m["right"] <= room["right"] for m in marks)
    visit.context.close()


def test_an_hour_stands_at_the_foot_of_its_own_rows_on_screen_and_paper(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    visit.open()
    for medium in ("screen", "paper"):
        if medium == "paper":
            visit.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        hours = visit.page.query_selector_all("#hours section")
        assert len(hours) >= 4
        for hour in hours:
            tops = hour.eval_on_selector_all("h2, .row", "all => all.map(e => e.getBoundingClientRect().top)")
            # the heading is stuck in sight while its hour passes: on screen it is only never above a row
            ordered = tops if medium == "paper" else tops[1:]
            assert ordered == sorted(ordered, reverse=True)
    visit.page.evaluate("dispatchEvent(new Event('afterprint'))")


def test_after_printing_the_page_is_as_before(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    visit.open()
    things = "#hours .row, #strip, #map-room, .map-mark"
    before = visit.boxes(things)
    visit.page.pdf()
    visit.until("!document.documentElement.classList.contains('printing')")
    after = visit.boxes(things)
    assert [box["key"] for box in after] == [box["key"] for box in before]
    # the map fits the road anew, which may move a mark by a pixel or two
    for one, other in zip(before, after, strict=True):
        assert abs(one["left"] - other["left"]) + abs(one["top"] - other["top"]) < 4


@pytest.mark.slow
@pytest.mark.parametrize(("route", "language"), [*((name, "en") for name in ROUTE_NAMES), ("loop-120", "de")])
def test_the_demo_rides_are_laid_out_without_overlap(
    browser: Browser, tmp_path: Path, route: str, language: str
) -> None:
    check_ride(browser, tmp_path, demo_plan(route, language=language), ("phone", "desk"))


def check_ride(browser: Browser, folder: Path, plan: Plan, sizes: tuple[str, ...]) -> None:
    """Lay a ride's page out on some screens."""
    write_map(plan, folder / "map.html")
    assert (folder / "map.html").stat().st_size < LARGE_PAGE_BYTES
    for size in sizes:
        visit = Visit(browser, folder / "map.html", size, "dark" if size == "phone" else "light")
        check_rooms(visit)
        visit.show("strip")
        check_choosing(visit, every=5)
        assert visit.complaints == []
        visit.context.close()


THERE = [1000.0 * (k + 2j * (k % 7) / 7) for k in range(30)]


@pytest.mark.slow
@pytest.mark.parametrize(
    "path",
    [[0j, 3000 + 0j], ring(6, 8000.0), [*THERE, *THERE[::-1]], [0j, 9e3 + 9e3j, 9e3 + 0j, 9e3j]],
    ids=["3 km", "six laps", "there and back", "crossing itself"],
)
def test_short_rides_laps_and_ways_back_are_laid_out_without_overlap(
    browser: Browser, tmp_path: Path, path: Any
) -> None:
    check_ride(browser, tmp_path, planned(track_through(path, hill_m=150.0)), ("phone", "desk"))


def test_one_lap_is_drawn_and_its_points_say_their_laps(browser: Browser, tmp_path: Path) -> None:
    plan = planned(track_through(list(ring(6, 8000.0)), hill_m=100.0))
    assert plan.terrain.laps is not None
    write_map(plan, tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "desk")
    labels = [point.label for point in plan.fuel_points if point.action == "eat"]
    shown = visit.page.locator(".map-mark:has(.eat) text").all_text_contents()
    assert sorted(" ".join(shown).split(), key=int) == labels
    assert len(shown) < len(labels)
    # labels of one spot stand apart and have a wider mark, so that 1 and 2 are not read as 12
    widths = [mark["width"] for mark in visit.boxes(".map-mark:has(.eat)")]
    for text, width in zip(shown, widths, strict=True):
        assert ("\u2002" in text) == (width > ONE_LABEL_PX), text
    spoken = visit.page.locator(".map-mark:has(.eat)").first.get_attribute("aria-label") or ""
    assert re.search(r"laps? \d|every lap", spoken)
    # a lap of 8 km at 25 m a step; six laps would be drawn with six times as many points
    drawn = visit.page.get_attribute("path.casing", "d") or ""
    assert 0 < drawn.count("L") <= 8000 / 25 + 20
    # choosing what is taken in a later lap lights the mark of its spot
    last = next(p for p in reversed(plan.fuel_points) if p.action == "eat")
    visit.page.evaluate(f"ridePage.choose('p{last.number}')")
    lit = visit.page.locator(".map-mark[aria-pressed=true] text").text_content() or ""
    assert last.label in lit.split()
    visit.context.close()


DRAWS = """letters => { const picture = letter => { const canvas = document.createElement('canvas');
  const brush = canvas.getContext('2d'); brush.font = '24px ' + getComputedStyle(document.body).fontFamily;
  brush.fillText(letter, 2, 26); return canvas.toDataURL(); };
  return new Set([...letters].map(picture)).size > 1; }"""
"""Whether the browser's fonts show letters: missing ones all look alike."""


def test_letters_that_no_font_here_shows_stand_in_latin_ones(browser: Browser, tmp_path: Path) -> None:
    write_map(replace(sample_plan(), name="山の道 – Ostrel"), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "phone")
    shown = visit.page.text_content("h1")
    wanted = "山の道 – Ostrel" if visit.page.evaluate(DRAWS, "山道") else "ShannoDao – Ostrel"
    visit.context.close()
    assert shown == wanted


def test_a_way_back_stands_beside_the_way_out(browser: Browser, tmp_path: Path) -> None:
    out = sample_plan("km", False)
    profile = out.terrain.profile
    half = profile.distance_m.size // 2

    def mirrored(column: Any) -> Any:
        turned = column.copy()
        turned[half + 1 :] = column[:half][::-1][: column.size - half - 1]
        return turned

    back = replace(profile, lat_deg=mirrored(profile.lat_deg), lon_deg=mirrored(profile.lon_deg))
    write_map(replace(out, terrain=replace(out.terrain, profile=back)), tmp_path / "map.html")
    visit = Visit(browser, tmp_path / "map.html", "desk")
    points = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", visit.page.get_attribute("path.casing", "d") or "")
    places = [complex(float(x), float(y)) for x, y in points]
    middle = len(places) // 2
    out_way, back_way = places[: middle - 40], places[middle + 40 :]
    nearest = [min(abs(place - other) for other in back_way) for place in out_way[20::7]]
    # four pixels to its right each way: eight apart, less where a step of the drawing falls between
    assert sum(5.0 <= gap <= 10.0 for gap in nearest) > 0.8 * len(nearest)
    visit.context.close()
