"""One page for all tests of a file, with one ride on its shelf."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.demo import ROUTES
from tests.outputs.conftest import held_browser
from tests.outputs.visiting import SIZES
from tests.page.opened import DEMO, Opened, open_page
from tests.page.story import Visitor


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home")


@pytest.fixture(scope="module")
def opened(home: Path) -> Iterator[Opened]:
    held = open_page(home, *DEMO)
    yield held
    if held.process.poll() is None:
        held.process.kill()
    held.process.communicate(timeout=30)


@pytest.fixture(scope="module")
def ride(opened: Opened) -> str:
    """Return the key of a ride just put on the shelf."""
    route = (ROUTES / "rolling-60.gpx").read_bytes()
    status, _, said = opened.ask("/rides", "POST", route, Content_Type="application/octet-stream")
    assert status == 200, said
    return str(opened.json("/start")["rides"][0]["ride"])


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    yield from held_browser()


@pytest.fixture
def visit(browser: Browser, opened: Opened) -> Iterator[Callable[[str], Visitor]]:
    contexts = []

    def visiting(size: str) -> Visitor:
        width, height = SIZES[size]
        context = browser.new_context(
            viewport={"width": width, "height": height}, has_touch=size == "phone", reduced_motion="reduce"
        )
        contexts.append(context)
        visitor = Visitor.at(context.new_page())
        visitor.enter(opened.address)
        return visitor

    yield visiting
    for context in contexts:
        context.close()
