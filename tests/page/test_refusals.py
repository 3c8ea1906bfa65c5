"""What cannot be is said in the page's own words, in both languages; a route without heights finds some."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from terrain_fuel.cli.main import main
from terrain_fuel.inputs.download import MIRROR_SETTING
from tests.inputs.made_files import northward, track_text, write_text
from tests.inputs.tile_mirror import Mirror, running_mirror
from tests.page.opened import Opened, open_page
from tests.page.story import Visitor
from tests.page.test_ride_over_http import change, planned, set_

FILE_WORDS = (".toml", "pins:", "calibrate:", "route:", "[", "_", "--")
"""What stands in files and on the command line, and in no refusal on the page."""


def add(file: str, table: str, **values: Any) -> dict[str, Any]:
    return {"do": "add", "file": file, "table": table, "values": values}


REFUSED: dict[str, tuple[Callable[[Any], dict[str, Any]], str]] = {
    "hands": (lambda plan: add("pins", "eat_here", item=food(plan), at_km=held_km(plan)), "beide Hände"),
    "beyond": (lambda plan: add("pins", "eat_here", item=food(plan), at_km=900), "hinter dem Ziel bei km"),
    "last": (lambda plan: add("pins", "eat_here", item=food(plan), at_km=59.8), "letzten zehn Minuten"),
    "stock": (lambda plan: add("pins", "eat_here", item="moon", at_km=20), "moon ist nichts Essbares"),
    "span": (lambda plan: add("pins", "no_food", from_km=9, to_km=3.5), "von km 9,0 bis km 3,5"),
    "range": (lambda plan: set_("ftp_w", 9), "(FTP) ist 9: möglich ist 50 bis 600 W."),
    "no number": (lambda plan: set_("ftp_w", "viel"), "(FTP) ist viel: möglich ist 50 bis 600 W."),
    "gap": (lambda plan: set_("longest_gap_min", 16, "habits"), "Die längste Lücke ist 16 min"),
    "gut": (lambda plan: set_("carbohydrate_limit_g_per_h", 100), "100 g/h sind mehr als 90"),
    "child": (lambda plan: set_("age_y", 8), "Unter 12 Jahren"),
    "strength": (
        lambda plan: add("pantry", "item", name="Dose", kind="drink_mix", carbohydrate_g=40),
        "Wie stark ist Dose?",
    ),
}
"""A change on a German page, and what is said of it."""


OF_TWO: dict[str, tuple[Callable[[Any], list[dict[str, Any]]], str, tuple[str, ...]]] = {
    "hour": (
        lambda plan: [fixed("plain gel", free_km(plan) + 0.4 * i) for i in range(4)],
        "in einer Stunde mehr Kohlenhydrate",
        ("Küche", "Koffein"),
    ),
    "kitchen": (
        lambda plan: [fixed("fig slice", free_km(plan), portions=40)],
        "40 Bissen festgelegt, mehr, als da sind",
        ("Koffein", "Stunde"),
    ),
    "dose": (
        lambda plan: [fixed("caffeine gel", free_km(plan))],
        "enthält 50 mg Koffein; 0 mg sind das meiste",
        ("Bissen", "früh"),
    ),
    "when": (
        lambda plan: [set_("caffeine_mg_max", 200), fixed("caffeine gel", 5.0)],
        "für das km 5,0 zu früh oder zu spät ist: der nächste Ort ist km",
        ("Bissen", "erlaubst"),
    ),
    "mass": (lambda plan: [set_("body_mass_kg", 20)], "Unter 30 kg", ("Jahren",)),
    "age": (lambda plan: [set_("age_y", 8)], "Unter 12 Jahren", (" kg",)),
}
"""A change that is refused for one of two reasons, what is said of that one, and words of the other."""


def fixed(item: str, at_km: float, **more: Any) -> dict[str, Any]:
    return add("pins", "eat_here", item=item, at_km=at_km, **more)


def free_km(plan: Any) -> float:
    """Return where the longest stretch without care for the hands begins."""
    spans = [span for span in plan["footing"] if span[2] == "free"]
    return float(max(spans, key=lambda span: span[1] - span[0])[0]) / 1000 + 0.1


def food(plan: Any) -> str:
    return str(next(iter(plan["bites"].values()))["item"])


def held_km(plan: Any) -> float:
    start, end, _ = next(span for span in plan["footing"] if span[2] == "hands" and span[1] - span[0] > 100)
    return float(start + end) / 2000


@pytest.fixture(scope="module")
def german(opened: Opened, ride: str) -> str:
    """Return the key of a ride whose rider reads German, looked at last."""
    change(opened, ride, set_("language", "de", "habits"))
    planned(opened, ride)
    return ride


@pytest.mark.parametrize("why", REFUSED)
def test_what_is_refused_is_said_in_the_words_of_the_panels(opened: Opened, german: str, why: str) -> None:
    edit, said = REFUSED[why]
    answer = change(opened, german, edit(planned(opened, german)))
    assert said in answer["say"]
    assert [word for word in FILE_WORDS if word in answer["say"]] == []


@pytest.mark.parametrize("why", OF_TWO)
def test_of_two_reasons_the_one_that_holds_is_said(opened: Opened, german: str, why: str) -> None:
    edits, said, other = OF_TWO[why]
    plan = planned(opened, german)
    told = change(opened, german, *edits(plan))["say"]
    assert said in told
    assert [word for word in other if word in told] == []
    assert planned(opened, german)["change"] == plan["change"]


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"km": 120, "of": "hills", "hours": 1.5}, "120 km in 1,5 h sind 80,0 km/h"),
        ({"km": 90, "of": "hills", "hours": 2.5}, "allein und ohne Wind"),
        ({"km": 2, "of": "hills", "hours": 2}, "5 bis 2000 km"),
        ({"km": 90, "of": "hills", "hours": 0.1}, "0,2 bis 200 h"),
        ({"km": None, "of": "hills", "hours": 2}, "wie viele Kilometer"),
    ],
)
def test_a_sentence_that_cannot_be_is_refused_in_words(
    opened: Opened, german: str, told: dict[str, Any], said: str
) -> None:
    told["change"] = opened.json(f"/rides/{german}")["change"]
    answer = opened.json(f"/rides/{german}/sentence", "POST", told)
    assert said in answer["say"]
    assert [word for word in FILE_WORDS if word in answer["say"]] == []


@pytest.fixture
def mirror(tmp_path: Path) -> Iterator[Mirror]:
    """Yield a collection of heights with one tile."""
    with running_mirror(tmp_path) as server:
        yield server


@pytest.mark.browser
@pytest.mark.slow
def test_a_route_without_heights_is_given_some_when_asked(
    browser: Browser, mirror: Mirror, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is asked of the network before the button is pressed; the command line then needs none."""
    route = write_text(tmp_path, track_text(northward(450)), "flat.gpx")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv(MIRROR_SETTING, mirror.address("good"))
    opened = open_page(tmp_path / "home")
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    try:
        visitor = Visitor.at(context.new_page())
        page = visitor.page
        visitor.enter(opened.address)
        page.set_input_files("#route-file", route)
        choice = page.locator("#choice")
        choice.get_by_text("This route has no heights").wait_for()
        assert page.locator("#choice h2").evaluate("e => e.matches(':focus')")
        assert "export it with heights" in choice.inner_text()
        assert [word for word in FILE_WORDS if word in choice.inner_text()] == []
        assert mirror.asked == []
        choice.get_by_role("button", name="Fetch the heights").tap()
        page.wait_for_selector("#hours .row.eat")
        visitor.planned()
        assert mirror.asked == ["/good/N45E007.hgt.zip"]
        assert page.evaluate("import('/files/ride.js').then(({ ride }) => Boolean(ride.relief))")
        assert visitor.complaints == []
        page_plan = visitor.shown()["plan"]
    finally:
        context.close()
        opened.end()
    monkeypatch.setenv(MIRROR_SETTING, mirror.address("missing"))
    (folder,) = (tmp_path / "home/terrain-fuel/rides").glob("ride-*")
    assert main(["plan", str(folder), "--out", str(tmp_path / "out"), "--quiet"]) in (0, 3)
    told = json.loads((tmp_path / "out/plan.json").read_bytes())
    assert told["route"]["name"] == page_plan["name"]


def test_heights_that_do_not_come_are_said_and_leave_no_ride(
    mirror: Mirror, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv(MIRROR_SETTING, mirror.address("missing"))
    opened = open_page(tmp_path / "home")
    try:
        route = track_text(northward(450)).encode()
        kind = "application/octet-stream"
        asked = json.loads(opened.ask("/rides", "POST", route, Content_Type=kind)[2])
        assert "no heights" in asked["heights"]
        status, _, said = opened.ask("/rides/heights", "POST", route, Content_Type=kind)
        assert (status, "could not be fetched" in json.loads(said)["say"]) == (400, True)
        assert b"127.0.0.1" not in said
        assert opened.json("/start")["rides"] == []
    finally:
        opened.end()
