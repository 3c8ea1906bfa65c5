"""An event's page in a real browser, its sheets as printed, its tables read back."""

import csv
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from lxml import html
from playwright.sync_api import Browser, Page

from terrain_fuel.event.told import EventTold
from terrain_fuel.outputs.event.folder import write_event_folder
from terrain_fuel.outputs.event.page import event_page
from terrain_fuel.outputs.event.tables import event_tables
from terrain_fuel.outputs.languages import LANGUAGES
from tests.event.small_event import small_told
from tests.outputs.printed import pages_of


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("event")
    write_event_folder(small_told(), made)
    return made


@pytest.fixture(scope="module")
def visit(browser: Browser, folder: Path) -> Iterator[tuple[Page, list[str]]]:
    context = browser.new_context(viewport={"width": 390, "height": 844}, offline=True)
    page, heard = context.new_page(), list[str]()
    page.on("request", lambda r: heard.append(r.url) if not r.url.startswith("file:") else None)
    page.on("console", lambda m: heard.append(m.text))
    page.on("pageerror", lambda e: heard.append(str(e)))
    page.goto((folder / "event.html").as_uri())
    yield page, heard
    context.close()


@pytest.mark.browser
def test_nothing_is_asked_of_the_network_and_everyone_can_read_it(visit: tuple[Page, list[str]]) -> None:
    page, heard = visit
    assert heard == []
    assert Axe().run(page).response["violations"] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.browser
def test_no_name_of_a_feed_lies_on_the_road_or_off_the_map(visit: tuple[Page, list[str]]) -> None:
    """On either map, the wide and the narrow: the road's line is asked point by point."""
    page, _ = visit
    found = page.evaluate("""() => [...document.querySelectorAll('.on-desk, .on-phone')].map((each) => {
      each.style.display = 'block';
      const road = each.querySelector('.s-road');
      if (!road) return null;
      const shape = road.ownerSVGElement, map = shape.getBoundingClientRect();
      const at = road.getScreenCTM(), length = road.getTotalLength();
      const points = Array.from({ length: 4000 }, (_, i) =>
        road.getPointAtLength((length * i) / 3999).matrixTransform(at));
      return [...shape.querySelectorAll('.t-name')].map((name) => {
        const box = name.getBoundingClientRect();
        const on = points.filter((p) =>
          p.x > box.left && p.x < box.right && p.y > box.top + 3 && p.y < box.bottom - 3);
        return [name.textContent, on.length, box.left >= map.left && box.right <= map.right];
      }).concat((each.style.display = '', []));
    }).filter(Boolean)""")
    assert len(found) >= 2
    assert found == [[["Foot", 0, True], ["Far side", 0, True]]] * len(found)


def test_what_calls_it_off_stands_first_and_framed(folder: Path) -> None:
    """33 degrees C in damp air, as the small event's hot day is, is beyond what events are held in."""
    page = html.fromstring((folder / "event.html").read_text(encoding="utf-8"))
    stop = str(page.xpath("string(//header//p[@class='stop'])"))
    assert stop.startswith("DO NOT HOLD IT: In “hot” the heat is beyond what events are held in")
    minded = str(page.xpath("string(//section[@aria-labelledby='mind'])"))
    assert "This is a model, not a permit" in minded
    assert "beyond what events are held in" not in minded  # said once
    for side in pages_of(folder / "feeds.pdf"):  # whoever sets up a table holds nothing else in hand
        said = " ".join(side.extract_text().split())
        assert said.index("DO NOT HOLD IT: In “hot” the heat") < said.index("Hours")


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_page_sheets_and_tables_say_the_same_stock(folder: Path) -> None:
    told: EventTold = small_told()
    table = {
        (row["feed"], row["item"]): float(row["bring"])
        for row in rows_of(folder / "stock.csv")
        if row["arrangement"] == "as meant"
    }
    tree: Any = html.document_fromstring((folder / "event.html").read_text(encoding="utf-8"))
    printed = [page.extract_text() for page in pages_of(folder / "feeds.pdf")]
    assert len(printed) >= len(told.meant.feeds)
    for number, feed in enumerate(told.meant.feeds):
        (section,) = tree.xpath(f"//section[@aria-labelledby='feed-{number + 1}']")
        (side,) = [text for text in printed if f"Feed {'AB'[number]}: {feed.feed.name}" in text]
        for stock in feed.stock:
            amount = f"{table[feed.feed.name, stock.item]:.0f} {'l' if stock.litres else 'pieces'}"
            (row,) = section.xpath(f".//tbody/tr[th='{stock.item}']")
            assert row.xpath("string(td[2])") == amount
            assert re.search(rf"{stock.item} .*{amount}", side)


def test_a_road_without_a_climb_has_its_table_with_a_head_and_no_rows() -> None:
    """A file with nothing in it, not even names of columns, is what no program reads."""
    told: EventTold = small_told()
    whole = event_tables(told)["climbs_and_descents"]
    flat = replace(told, arranged=tuple(replace(each, parts=()) for each in told.arranged))
    assert whole["kind"]
    assert event_tables(flat)["climbs_and_descents"] == {name: [] for name in whole}


def test_five_minutes_by_five_minutes_add_up_to_the_field(folder: Path) -> None:
    rows = [row for row in rows_of(folder / "by_five_minutes.csv") if row["arrangement"] == "as meant"]
    clock = [row["from"] for row in rows if row["letter"] == "A"]
    assert clock == sorted(clock)
    assert clock[0] == "2027-06-19 07:30"
    for row in rows:
        for name in ("arrivals", "stopping", "standing", "waiting", "litres", "pieces"):
            low, middle, high = (float(row[f"{name}_{which}"]) for which in ("low", "middle", "high"))
            assert 0.0 <= low <= middle <= high


def test_every_variant_stands_beside_the_event(folder: Path) -> None:
    names = {row["arrangement"] for row in rows_of(folder / "field.csv")}
    assert names == {"as meant", "small waves", "a tap more", "Foot moved"}
    tree: Any = html.document_fromstring((folder / "event.html").read_text(encoding="utf-8"))
    heads = tree.xpath("//section[@aria-labelledby='variants']//tbody//th/text()")
    assert heads == ["as it is meant", "small waves", "a tap more", "Foot moved"]


def test_every_feed_has_three_charts_that_are_spoken(folder: Path) -> None:
    tree: Any = html.document_fromstring((folder / "event.html").read_text(encoding="utf-8"))
    feed = "//section[@aria-labelledby='feed-1']"
    spoken = tree.xpath(f"{feed}//div[@class='on-desk']/svg/@aria-label")
    assert len(spoken) == 3
    assert tree.xpath(f"{feed}//div[@class='on-phone']/svg/@aria-label") == spoken
    assert all("Foot" in text and re.search(r"\d\d:\d\d", text) for text in spoken)


def test_the_page_speaks_german() -> None:
    page = event_page(small_told("de"))
    assert '<html lang="de">' in page
    tree: Any = html.document_fromstring(page)
    for element in tree.xpath("//script | //style"):
        element.getparent().remove(element)
    shown = str(tree.text_content())
    english = LANGUAGES["en"].labels
    for key in (
        "event.mind",
        "event.arrivals",
        "event.stock.middle",
        "event.variant.queue",
        "event.how.note",
    ):
        assert english[key] not in shown


def test_waits_are_told_in_minutes_and_every_feed_of_an_arrangement_is_compared(folder: Path) -> None:
    rows = rows_of(folder / "feeds.csv")
    waits = {(row["arrangement"], row["letter"]): float(row["wait_nine_in_ten_s_high"]) for row in rows}
    assert max(waits.values()) > 120.0, "nobody waits long: nothing is tried here"

    def text(wait_s: float) -> str:
        return f"{wait_s:.0f} s" if wait_s < 120.0 else f"{wait_s / 60.0:.0f} min"

    tree: Any = html.parse(str(folder / "event.html"))
    (table,) = tree.xpath("//section[@aria-labelledby='variants']//table")
    shown = [
        [" ".join(cell.itertext()).strip() for cell in row.xpath("th | td")]
        for row in table.xpath("tbody/tr")
    ]
    feeds = {(row["letter"], row["feed"]) for row in rows}
    assert len(feeds) == 2, "a feed keeps its letter where it is moved"
    arrangements = list(dict.fromkeys(row["arrangement"] for row in rows))
    for name, row in zip(arrangements, shown, strict=True):
        here = sorted(letter for arrangement, letter in waits if arrangement == name)
        assert ", ".join(f"{letter} {text(waits[name, letter])}" for letter in here) in row
    said = str(
        tree.xpath("//section[@aria-labelledby='feed-1']//p[contains(., 'Who queues')]")[0].text_content()
    )
    assert f"one in ten longer than {text(waits[arrangements[0], 'A'])}." in " ".join(said.split())
