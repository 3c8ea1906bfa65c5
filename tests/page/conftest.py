"""One page for all tests of a file, with one ride on its shelf."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.demo import ROUTES
from tests.page.opened import DEMO, Opened, open_page


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
