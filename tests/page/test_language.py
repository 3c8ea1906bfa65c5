"""In which language the page speaks before a ride says so, and in which a first ride is begun."""

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from numpy.testing import assert_equal

from terrain_fuel.cli.main import main
from terrain_fuel.outputs.wished_language import wished_language
from tests.demo import ROUTES
from tests.page.opened import DEMO, Opened, open_page

GERMAN, ENGLISH = "de-CH,de;q=0.9,en;q=0.8", "en-GB,en;q=0.9"
NAMES = {"oat square", "drink mix", "front bottle", "left pocket", "bar bag"}


@pytest.fixture
def opening(tmp_path: Path) -> Any:
    """Return how the page is started, and again, always over the same data folder."""
    running: list[Opened] = []

    def start(*words: str, **variables: str) -> Opened:
        running.append(open_page(tmp_path, *DEMO, *words, **variables))
        return running[-1]

    yield start
    for opened in running:
        if opened.process.poll() is None:
            opened.end()


def heading(opened: Opened, accepted: str) -> str:
    """Return the language of the first page and its heading."""
    text = opened.ask("/", Accept_Language=accepted)[2].decode()
    return text.partition('lang="')[2][:2] + " " + text.partition("<h1>")[2].partition("</h1>")[0]


def put(opened: Opened, accepted: str) -> str:
    route = (ROUTES / "rolling-60.gpx").read_bytes()
    status, _, said = opened.ask(
        "/rides", "POST", route, Content_Type="application/octet-stream", Accept_Language=accepted
    )
    assert status == 200, said
    return str(opened.json("/start")["rides"][0]["ride"])


def files(folder: Path, ride: int = 1) -> dict[str, Any]:
    texts = (folder / "terrain-fuel/rides" / f"ride-{ride}").glob("*.toml")
    return {path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in texts}


def names(held: dict[str, Any]) -> set[str]:
    return {entry["name"] for table in ("item", "container") for entry in held["pantry"][table]}


@pytest.mark.source("RFC9110", "section 12.5.4, the example: Danish, else British, else any English")
@pytest.mark.source("RFC4647", "section 3.4, lookup: de-CH is answered by de")
@pytest.mark.parametrize(
    ("accepted", "spoken"),
    [
        ("da, en-gb;q=0.8, en;q=0.7", "en"),
        ("de-CH", "de"),
        ("en;q=0.7, de;q=0.8", "de"),
        ("de;q=0, en;q=0.1", "en"),
        ("fr, *;q=0.5", None),
        ("", None),
        ("de;q=much", None),
        (",;,;q=,de ; q = 0.4", "de"),
        ("x," * 1000 + "de", None),
    ],
)
def test_the_first_language_that_is_spoken_here_is_taken(accepted: str, spoken: str | None) -> None:
    assert wished_language(accepted) == spoken


def test_a_browser_that_asks_for_german_gets_a_german_page_ride_and_kitchen(
    opening: Callable[..., Opened], tmp_path: Path
) -> None:
    opened = opening()
    assert heading(opened, GERMAN) == "de Welche Straße willst du fahren?"
    assert heading(opened, ENGLISH) == "en Which road will you ride?"
    put(opened, GERMAN)
    held = files(tmp_path)
    assert held["rider"]["habits"]["language"] == "de"
    assert not NAMES & names(held)
    assert {"Haferschnitte", "Mischung", "vordere Flasche", "water"} < names(held)
    put(opened, ENGLISH)
    assert heading(opened, ENGLISH).startswith("de")
    assert_equal(files(tmp_path, 2)["rider"], held["rider"])


def test_in_english_nothing_is_written_otherwise_than_before(
    opening: Callable[..., Opened], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = opening()
    put(opened, ENGLISH)
    monkeypatch.setenv("LC_ALL", "C")
    assert main(["init", str(tmp_path / "usual")]) == 0
    ride = tmp_path / "terrain-fuel/rides/ride-1"
    for name in ("rider", "pantry"):
        assert (ride / f"{name}.toml").read_bytes() == (tmp_path / f"usual/{name}.toml").read_bytes()


def test_what_is_chosen_by_hand_wins_and_is_kept(opening: Callable[..., Opened], tmp_path: Path) -> None:
    opened = opening()
    assert opened.json("/start")["languages"] == ["en", "de"]
    assert opened.json("/language", "POST", {"language": "de"}) == {}
    assert heading(opened, ENGLISH).startswith("de")
    opened.end()
    opened = opening()
    assert heading(opened, ENGLISH).startswith("de")
    ride = put(opened, ENGLISH)
    assert files(tmp_path)["rider"]["habits"]["language"] == "de"
    assert opened.json("/start")["languages"] == []
    edit = {"do": "set", "file": "rider", "table": "habits", "key": "language", "value": "en"}
    opened.json(f"/rides/{ride}/change", "POST", {"change": 1, "edits": [edit]})
    opened.json(f"/rides/{ride}/take-off", "POST")
    assert heading(opened, GERMAN).startswith("en")


@pytest.mark.parametrize("asked", [{"language": "../../x"}, {"language": None}, {}])
def test_a_language_that_nobody_speaks_here_is_refused(
    opening: Callable[..., Opened], tmp_path: Path, asked: object
) -> None:
    opened = opening()
    assert "language is" in opened.json("/language", "POST", asked)["say"]
    assert not (tmp_path / "terrain-fuel/rides/language.txt").exists()


def test_a_rider_file_that_states_its_language_keeps_it(
    opening: Callable[..., Opened], tmp_path: Path
) -> None:
    rider = tmp_path / "rider.toml"
    rider.write_text('[rider]\nftp_w = 210\n[habits]\nlanguage = "en"\n', encoding="utf-8")
    opened = opening("--rider", str(rider))
    assert heading(opened, GERMAN).startswith("en")
    put(opened, GERMAN)
    assert (tmp_path / "terrain-fuel/rides/ride-1/rider.toml").read_bytes() == rider.read_bytes()
    assert names(files(tmp_path)) > NAMES


def test_a_route_that_comes_with_the_command_is_in_the_language_of_the_terminal(
    opening: Callable[..., Opened], tmp_path: Path
) -> None:
    opened = opening(str(ROUTES / "rolling-60.gpx"), LANG="de_AT.UTF-8")
    assert heading(opened, ENGLISH).startswith("de")
    assert "Haferschnitte" in names(files(tmp_path))
