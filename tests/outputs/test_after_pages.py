"""The pages after a ride in a real browser with the network cut: no request, and everyone can use them."""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from lxml import html
from playwright.sync_api import Browser, Page

from terrain_fuel.inputs.after_file import read_after
from terrain_fuel.inputs.planned import read_planned
from terrain_fuel.inputs.recordings.read import read_recording_file
from terrain_fuel.learn.season import look_at_season
from terrain_fuel.outputs.after.review_page import Beside, review_page, write_review_page
from terrain_fuel.outputs.after.season_page import season_page, write_season_page
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.outputs.words import words_for
from terrain_fuel.review.look_back import Settings, review_ride
from terrain_fuel.review.model import Review
from terrain_fuel.review.planned import Planned
from terrain_fuel.rider import Habits, Rider
from tests.log.made_log import made_ride
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import pages_of
from tests.recording_files import write_recording
from tests.review.made_ride import made_ride as recorded_ride


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Review, Planned]:
    """Return a made ride of the demo with a detour and halts, and its plan."""
    folder = tmp_path_factory.mktemp("review")
    plan_file = folder / "plan.json"
    plan_file.write_text(plan_text(demo_plan("loop-120")), encoding="utf-8")
    planned = read_planned(plan_file)
    points, _ = recorded_ride(demo_plan("loop-120"), 1)
    ride = read_recording_file(write_recording(points, folder / "ride.tcx"))
    return review_ride(ride, Settings(planned.rider, planned.pantry, planned.day), planned), planned


@pytest.fixture(scope="module")
def pages(made: tuple[Review, Planned], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    review, planned = made
    paths = {name: folder / f"{name}.html" for name in ("review", "season", "empty")}
    write_review_page(review, Beside(planned.rider, planned, None), paths["review"])
    write_season_page(look_at_season([made_ride(i) for i in range(20)]), words_for(Rider()), paths["season"])
    write_season_page(look_at_season(()), words_for(Rider()), paths["empty"])
    return paths


@pytest.fixture(scope="module", params=["review", "season", "empty"])
def visit(
    request: pytest.FixtureRequest, browser: Browser, pages: dict[str, Path]
) -> Iterator[tuple[Page, list[str]]]:
    context = browser.new_context(viewport={"width": 390, "height": 844}, offline=True)
    page, heard = context.new_page(), list[str]()
    page.on("request", lambda r: heard.append(r.url) if not r.url.startswith(("file:", "blob:")) else None)
    page.on("console", lambda m: heard.append(m.text))
    page.on("pageerror", lambda e: heard.append(str(e)))
    page.goto(pages[request.param].as_uri())
    yield page, heard
    context.close()


@pytest.mark.browser
def test_nothing_is_asked_of_the_network_and_everyone_can_read_it(visit: tuple[Page, list[str]]) -> None:
    page, heard = visit
    assert heard == []
    assert Axe().run(page).response["violations"] == []
    width = page.evaluate("document.documentElement.scrollWidth")
    assert width <= 390


BEYOND = """() => [...document.querySelectorAll('main td, main th, main input, main svg, main label')]
  .filter(each => each.checkVisibility() && !each.closest('thead') && !each.closest('.unseen'))
  .map(each => [each.outerHTML.slice(0, 80), each.getBoundingClientRect()])
  .filter(([, box]) => box.width > 1 && (box.left < 0 || box.right > innerWidth)).map(([name]) => name)"""

SMALLEST_PX = """() => Math.min(...[...document.querySelectorAll('figure svg text')]
  .filter(each => each.checkVisibility())
  .map(each => each.getAttribute('font-size') * each.getScreenCTM().a))"""


@pytest.mark.browser
@pytest.mark.parametrize("name", ["review", "season"])
def test_on_a_phone_nothing_is_beyond_the_edge_and_pictures_can_be_read(
    name: str, browser: Browser, pages: dict[str, Path]
) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, offline=True)
    page = context.new_page()
    page.goto(pages[name].as_uri())
    assert page.evaluate(BEYOND) == []
    assert page.evaluate(SMALLEST_PX) > 9.0
    for bite in page.locator(".ticks label").all()[:3]:
        box = bite.bounding_box()
        assert box is not None
        assert box["height"] >= 44.0
    context.close()


@pytest.mark.browser
def test_what_the_form_does_not_ask_is_written_again(
    browser: Browser, made: tuple[Review, Planned], tmp_path: Path
) -> None:
    review, planned = made
    (number, *_) = [int(point.label) for point in planned.points if point.action == "eat"]
    given = tmp_path / "given.toml"
    given.write_text(
        '[after]\nC1 = 8\nE1 = "less mix"\nE4 = "and \\"gloves\\""\npassed_ml = 300\nbedtime = "22:30"\n'
        f'ready = ["A1"]\nB7 = 0\n[[bite]]\nnumber = {number}\nwas = "later"\nat_km = 31.5\n'
        f'[[ate]]\nitem = "{planned.pantry.items[0].name}"\nportions = 2\n'
        '[[lost]]\nkey = "B2"\nat_km = 70.0\n',
        encoding="utf-8",
    )
    after = read_after(given, planned.pantry)
    write_review_page(review, Beside(planned.rider, planned, after), tmp_path / "review.html")
    page = browser.new_context(offline=True).new_page()
    page.goto((tmp_path / "review.html").as_uri())
    written = tmp_path / "after.toml"
    written.write_text(page.input_value("#written"), encoding="utf-8")
    page.context.close()
    again = read_after(written, planned.pantry)
    assert after is not None
    assert again is not None
    assert set(again.lines) == set(after.lines)
    assert replace(again, lines=()) == replace(after, lines=())


@pytest.mark.browser
def test_the_form_is_written_with_the_keys_of_the_printed_one(
    browser: Browser, pages: dict[str, Path], made: tuple[Review, Planned], tmp_path: Path
) -> None:
    _, planned = made
    context = browser.new_context(offline=True)
    page = context.new_page()
    page.goto(pages["review"].as_uri())
    (number, *_) = [int(point.label) for point in planned.points if point.action == "eat"]
    page.check(f"[data-bite='{number}'][value='later']")
    page.fill("[data-key='A1']", "2")
    page.check("[data-key='C1'][value='7']")
    page.fill("[data-key='D1']", "71.2")
    page.fill("[data-key='D3']", 'km 80, the "wall"')
    written = tmp_path / "after.toml"
    written.write_text(page.input_value("#written"), encoding="utf-8")
    context.close()
    after = read_after(written, planned.pantry)
    assert after is not None
    assert (after.left, after.stomach, after.before_kg) == ({"A1": 2.0}, 7.0, 71.2)
    assert after.hard_at == 'km 80, the "wall"'
    assert [(bite.number, bite.was) for bite in after.bites] == [(number, "later")]


def test_the_page_and_the_printed_form_ask_by_the_same_keys(
    made: tuple[Review, Planned], tmp_path: Path
) -> None:
    from terrain_fuel.outputs.printed.sheet import write_sheet

    review, planned = made
    page: Any = html.document_fromstring(review_page(review, Beside(planned.rider, planned, None)))
    shown = [str(key) for key in page.xpath("//@data-key")]
    write_sheet(demo_plan("loop-120"), tmp_path / "sheet.pdf")
    texts = [str(sheet.extract_text()) for sheet in pages_of(tmp_path / "sheet.pdf")]
    (form,) = [text for text in texts if re.search(r"\bC3\b", text) and re.search(r"\bD1\b", text)]
    printed = set(re.findall(r"\b[A-D]\d+\b", form))
    assert {key for key in shown if key[0] != "E"} == printed
    for row in "AB":
        keys = [key for key in dict.fromkeys(shown) if key[0] == row]
        assert keys == sorted(keys, key=lambda key: int(key[1:]))


def shown(page: str) -> str:
    """Return the text of a page without its style and script."""
    tree: Any = html.document_fromstring(page)
    for element in tree.xpath("//script | //style"):
        element.getparent().remove(element)
    return str(tree.text_content())


def test_both_pages_speak_german(made: tuple[Review, Planned]) -> None:
    review, planned = made
    german = replace(planned.rider, habits=replace(planned.rider.habits, language="de"))
    page = review_page(review, Beside(german, planned, None))
    assert '<html lang="de">' in page
    text = shown(page)
    assert "Ort für Ort" in text
    assert "½ chestnut loaf" in text
    assert "Wasser" in text
    assert "08.05.2027" in text
    for english in ("Place by place", "Climbs", "in the saddle", "not reached", "late", "eaten", "water"):
        assert not re.search(rf"\b{english}\b", text), english
    reader = words_for(Rider(habits=Habits(language="de")))
    season = season_page(look_at_season([made_ride(i) for i in range(5)]), reader)
    assert "Deine Saison" in season
    assert "Carbohydrate" not in shown(season)


def test_a_ride_without_a_plan_has_a_page_too(made: tuple[Review, Planned]) -> None:
    review, _ = made
    alone = replace(review, part=None, points=(), lateness=None, plan_name="", events=())
    page = review_page(alone, Beside(Rider(), None, None))
    assert "Place by place" not in page
    assert "What no device knows" in page


def test_names_cannot_break_out_of_the_page(made: tuple[Review, Planned]) -> None:
    review, planned = made
    wild = replace(review, plan_name="</script><script>alert(1)</script>")
    assert "<script>alert" not in review_page(wild, Beside(planned.rider, planned, None))
