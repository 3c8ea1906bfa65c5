"""The documentation: settings are read, scripts run, commands parsed, and the site asks for no network."""

import os
import re
import runpy
import shlex
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from terrain_fuel.cli.main import build_parser
from terrain_fuel.inputs.after_file import read_after
from terrain_fuel.inputs.event_file import read_event
from terrain_fuel.inputs.pins import read_pins
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.inputs.start_time import zone_at
from terrain_fuel.inputs.team_file import read_team
from terrain_fuel.pantry import Pantry
from tests.outputs.conftest import FLAGS, chromium

ROOT = Path(__file__).resolve().parent.parent
PAGES = sorted((ROOT / "docs" / "pages").rglob("*.md"))
READERS: dict[str, Callable[[Path], object]] = {
    "rider.toml": read_rider,
    "pantry.toml": read_pantry,
    "day.toml": lambda path: read_day(path, zone_at(45.0, 7.0)),
    "pins.toml": read_pins,
    "team.toml": read_team,
    "event.toml": read_event,
    "after.toml": lambda path: read_after(path, Pantry()),
}


def blocks(language: str) -> list[tuple[str, str]]:
    """Return page and text of every block of a language."""
    return [
        (page.stem, text)
        for page in PAGES
        for text in re.findall(rf"```{language}\n(.*?)```", page.read_text(encoding="utf-8"), re.DOTALL)
    ]


@pytest.mark.parametrize(("page", "text"), blocks("toml"))
def test_settings_of_the_guides_are_read(page: str, text: str, tmp_path: Path) -> None:
    name = text.split()[1]
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    for beside in {"rider.toml", "pantry.toml", "day.toml"} - {name}:
        (tmp_path / beside).symlink_to(ROOT / "routes" / beside)
    READERS[name](path)


@pytest.mark.parametrize(("page", "text"), blocks("python"))
def test_scripts_run(page: str, text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "routes").symlink_to(ROOT / "routes")
    (tmp_path / "script.py").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert runpy.run_path("script.py")["plan"].fuel_points


def test_commands_can_be_typed() -> None:
    lines = [
        line.strip()
        for page in PAGES
        for line in re.findall(r"^ {4,}(terrain-fuel .*)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    ]
    assert len(lines) >= 8
    for line in lines:
        assert callable(build_parser().parse_args(shlex.split(line)[1:]).run)


def test_every_guide_stands_in_the_menu() -> None:
    menu = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    for page in PAGES:
        assert str(page.relative_to(ROOT / "docs" / "pages")) in menu


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the documentation, built without a warning."""
    folder = tmp_path_factory.mktemp("docs") / "site"
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--quiet", "--strict", "-f", str(ROOT / "mkdocs.yml"),
         "-d", str(folder)],
        check=False, capture_output=True, text=True, env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return folder


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.parametrize("name", ["settings", "models"])
def test_what_a_setting_means_is_read_on_a_phone_without_scrolling(site: Path, name: str) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=list(FLAGS))
        page = browser.new_page(viewport={"width": 390, "height": 844})
        page.goto((site / f"{name}.html").as_uri())
        cells = page.locator("td:nth-child(4)")
        meant = cells.evaluate_all("all => all.map(each => each.getBoundingClientRect().right)")
        across = page.evaluate("document.scrollingElement.scrollWidth")
        browser.close()
    assert max(meant) <= 390
    assert across == 390


@pytest.mark.slow
def test_the_site_asks_for_no_network(site: Path) -> None:
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 10
    fetched = r"<(?:script|img|link|iframe|source)[^>]+(?:src|href)=\"?(?:https?:)?//"
    for page in [*pages, *site.rglob("*.css")]:
        text = page.read_text(encoding="utf-8")
        assert not re.search(fetched, text), page.name
        assert not re.search(r"(?:@import|url\()[^;)]*https?://", text), page.name
    settings = (site / "settings.html").read_text(encoding="utf-8")
    assert settings.count("<tr>") > 80
    models = (site / "models.html").read_text(encoding="utf-8")
    assert "required_sweat_g_per_h_m2" in models
    sources = (site / "sources.html").read_text(encoding="utf-8")
    cited = set(re.findall(r'href="sources\.html#(\w+)"', models))
    assert {"Ma98", "DB16"} <= cited
    assert {key for key in cited if f'id="{key}"' not in sources} == set()
    for name in ("models.html", "python.html", "event-settings.html"):
        shown = (site / name).read_text(encoding="utf-8")
        assert not re.findall(r"\]_|<em>[^<]*\[|README", shown), name  # what Markdown did not read as meant
