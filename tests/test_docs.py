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

from terrain_fuel.cli.main import build_parser
from terrain_fuel.inputs.after_file import read_after
from terrain_fuel.inputs.event_file import read_event
from terrain_fuel.inputs.pins import read_pins
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.inputs.start_time import zone_at
from terrain_fuel.inputs.team_file import read_team
from terrain_fuel.pantry import Pantry

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


@pytest.mark.slow
def test_the_site_is_built_without_a_warning_and_asks_for_no_network(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--quiet", "--strict", "-f", str(ROOT / "mkdocs.yml"),
         "-d", str(tmp_path / "site")],
        check=False, capture_output=True, text=True, env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    pages = sorted((tmp_path / "site").rglob("*.html"))
    assert len(pages) > 10
    fetched = r"<(?:script|img|link|iframe|source)[^>]+(?:src|href)=\"?(?:https?:)?//"
    for page in [*pages, *(tmp_path / "site").rglob("*.css")]:
        text = page.read_text(encoding="utf-8")
        assert not re.search(fetched, text), page.name
        assert not re.search(r"(?:@import|url\()[^;)]*https?://", text), page.name
    settings = (tmp_path / "site" / "settings.html").read_text(encoding="utf-8")
    assert settings.count("<tr>") > 80
    models = (tmp_path / "site" / "models.html").read_text(encoding="utf-8")
    assert "required_sweat_g_per_h_m2" in models
    sources = (tmp_path / "site" / "sources.html").read_text(encoding="utf-8")
    cited = set(re.findall(r'href="sources\.html#(\w+)"', models))
    assert {"Ma98", "DB16"} <= cited
    assert {key for key in cited if f'id="{key}"' not in sources} == set()
    for name in ("models.html", "python.html", "event-settings.html"):
        shown = (tmp_path / "site" / name).read_text(encoding="utf-8")
        assert not re.findall(r"\]_|<em>[^<]*\[|README", shown), name  # what Markdown did not read as meant
