"""One browser for all tests of the map page, the page open in it on phone and desk, and one sticker."""

import os
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from terrain_fuel.outputs.map.map_page import write_map
from tests.outputs.printed import Printout
from tests.outputs.sample_plan import sample_plan
from tests.outputs.sticker_reading import Stickers, written
from tests.outputs.visiting import SIZES, Visit

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip


def chromium() -> str:
    """Return the browser to test in; without one these tests are skipped."""
    named = os.environ.get("TERRAIN_FUEL_CHROMIUM")
    found = named or next(
        filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
    )
    if found is None:
        pytest.skip("no Chromium; name one in TERRAIN_FUEL_CHROMIUM")
    return found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    yield from held_browser()


def held_browser() -> Iterator[Browser]:
    """Yield a Chromium, closed when it is no longer wanted."""
    with sync_playwright() as driver:
        held = driver.chromium.launch(executable_path=chromium(), args=list(FLAGS))
        yield held
        held.close()


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "map.html"
    write_map(sample_plan(), path)
    return path


@pytest.fixture(scope="module")
def visits(browser: Browser, page_file: Path) -> Iterator[dict[str, Visit]]:
    held = {size: Visit(browser, page_file, size) for size in SIZES}
    yield held
    for visit in held.values():
        visit.context.close()


@pytest.fixture(params=list(SIZES))
def visit(request: pytest.FixtureRequest, visits: dict[str, Visit]) -> Visit:
    chosen = visits[request.param]
    chosen.open()
    return chosen


@pytest.fixture(scope="session")
def stickers(tmp_path_factory: pytest.TempPathFactory) -> Stickers:
    """Return what prints the invented plan's sticker and reads it back."""

    @cache
    def sticker(size: str = "stem", units: str = "km", paper: str = "A4") -> Printout:
        folder = tmp_path_factory.mktemp("sticker")
        return Printout.read(written(sample_plan(units), folder, size=size, paper=paper))

    return sticker
