"""Fetching tiles from a server on this machine that answers well, slowly, wrongly, or not at all."""

import io
import socket
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from rich.console import Console

from terrain_fuel.errors import ElevationError, TileFetchError
from terrain_fuel.inputs.download import MIRROR_SETTING, cache_folder, fetch_tile, tile_address
from terrain_fuel.inputs.progress import download_bar
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.tile_source import TileSource
from tests.inputs.made_files import northward, track_text, write_text, write_tile
from tests.inputs.tile_mirror import NAME, Mirror, running_mirror

SHORT_S = 0.3
PATIENT_S = 10.0  # for answers that come at once: long enough for any machine


@pytest.fixture
def mirror(tmp_path: Path) -> Iterator[Mirror]:
    """Yield a mirror with one tile."""
    with running_mirror(tmp_path) as server:
        yield server


@pytest.fixture
def route(tmp_path: Path) -> Path:
    """Return a route without heights."""
    return write_text(tmp_path, track_text(northward(50)))


@pytest.mark.parametrize("behaviour", ["good", "chunked", "raw"])
def test_a_good_answer_is_kept_and_used(mirror: Mirror, route: Path, tmp_path: Path, behaviour: str) -> None:
    cache, address = tmp_path / "cache", mirror.address(behaviour)
    track, relief = read_route(route, online=True, cache=cache, mirror=address, silence_s=PATIENT_S)
    assert track.elevation_source == "tiles"
    np.testing.assert_allclose(track.elevation_m, 100 + 1200 * (track.lat_deg - 44.5), atol=1e-6)
    assert relief is not None
    assert [path.name for path in cache.iterdir()] == [NAME if behaviour == "raw" else f"{NAME}.zip"]
    # the next run finds it in the cache
    read_route(route, online=True, cache=cache, mirror=address, silence_s=PATIENT_S)
    assert mirror.asked.count(f"/{behaviour}/N45E007.hgt.zip") == 1


def test_tiles_beside_the_route_are_not_fetched(mirror: Mirror, tmp_path: Path) -> None:
    path = write_text(tmp_path, track_text(northward(5, lat=45.99, lon=7.999)))
    read_route(
        path, online=True, cache=tmp_path / "cache", mirror=mirror.address("good"), silence_s=PATIENT_S
    )
    assert mirror.asked == ["/good/N45E007.hgt.zip"]


def test_nothing_is_asked_without_leave(mirror: Mirror, route: Path, tmp_path: Path) -> None:
    with pytest.raises(ElevationError, match="no tile covers the road"):
        read_route(route, cache=tmp_path / "cache", mirror=mirror.address("good"))
    assert mirror.asked == []
    assert not (tmp_path / "cache").exists()


@pytest.mark.parametrize(
    ("behaviour", "reason"),
    [
        ("missing", "it answers 404"),
        ("broken", "it answers 500"),
        ("web", "what came is no elevation tile: it holds 40 bytes of heights"),
        ("size", "what came is no elevation tile: it holds 1000 bytes of heights"),
        ("torn", "what came is no elevation tile"),
        ("cut", "it broke off"),
        ("silent", "it does not answer in time"),
        ("stalls", "it does not answer in time"),
        ("endless", "more than 25934402 bytes came"),
    ],
)
def test_a_bad_answer_is_one_message_and_leaves_nothing(
    mirror: Mirror, route: Path, tmp_path: Path, behaviour: str, reason: str
) -> None:
    cache, address = tmp_path / "cache", mirror.address(behaviour)
    silence_s = SHORT_S if behaviour in ("silent", "stalls") else PATIENT_S
    with pytest.raises(TileFetchError) as caught:
        read_route(route, online=True, cache=cache, mirror=address, silence_s=silence_s)
    message = str(caught.value)
    assert message.startswith(f"{NAME}: cannot be fetched from {address}/N45E007.hgt.zip: {reason}")
    assert (
        "set TERRAIN_FUEL_TILE_MIRROR to another mirror, or put the tile in the elevation folder" in message
    )
    assert "\n" not in message
    assert list(cache.iterdir()) == []
    assert mirror.asked == [f"/{behaviour}/N45E007.hgt.zip"], "one attempt"


def test_an_endless_answer_is_cut_at_the_size_of_a_tile(mirror: Mirror, tmp_path: Path) -> None:
    told: list[int] = []
    with pytest.raises(TileFetchError, match="more than a tile has"):
        fetch_tile(
            NAME, mirror.address("endless"), tmp_path, progress=lambda name, done, total: told.append(done)
        )
    assert max(told) <= 2 * 3601**2


def test_a_dripping_answer_ends_at_the_limit_of_the_whole(mirror: Mirror, tmp_path: Path) -> None:
    with pytest.raises(TileFetchError, match=r"it was not done in 0\.4 s"):
        fetch_tile(NAME, mirror.address("drips"), tmp_path / "cache", silence_s=PATIENT_S, whole_s=0.4)
    assert list((tmp_path / "cache").iterdir()) == []


def test_a_host_that_is_gone(route: Path, tmp_path: Path) -> None:
    with socket.socket() as held:  # bound, never listening: connections are refused at once
        held.bind(("127.0.0.1", 0))
        address = f"http://127.0.0.1:{held.getsockname()[1]}"
        with pytest.raises(TileFetchError, match="it cannot be reached"):
            read_route(route, online=True, cache=tmp_path / "cache", mirror=address, silence_s=SHORT_S)
    assert list((tmp_path / "cache").iterdir()) == []


@pytest.mark.parametrize("address", ["ftp://example.invalid", "no address", "http://"])
def test_an_address_that_is_none(route: Path, tmp_path: Path, address: str) -> None:
    with pytest.raises(TileFetchError, match="cannot be fetched from"):
        read_route(route, online=True, cache=tmp_path / "cache", mirror=address, silence_s=SHORT_S)


def test_a_cache_that_cannot_be_made(mirror: Mirror, route: Path, tmp_path: Path) -> None:
    with pytest.raises(TileFetchError, match="cannot be kept there"):
        read_route(route, online=True, cache=route / "below a file", mirror=mirror.address("good"))


def test_relief_alone_never_stops_a_route(mirror: Mirror, tmp_path: Path) -> None:
    path = write_text(tmp_path, track_text([(lat, lon, 5) for lat, lon, _ in northward(5)]))
    _, relief = read_route(
        path, online=True, cache=tmp_path / "cache", mirror=mirror.address("missing"), silence_s=PATIENT_S
    )
    assert relief is None
    assert len(mirror.asked) == 1


def test_a_tile_that_failed_is_not_asked_for_again(mirror: Mirror, tmp_path: Path) -> None:
    source = TileSource(online=True, cache=tmp_path, mirror=mirror.address("missing"), silence_s=PATIENT_S)
    with pytest.raises(TileFetchError):
        source.tile(45, 7)
    assert source.tile(45, 7) is None
    assert len(mirror.asked) == 1


def test_own_tiles_come_before_the_mirror(mirror: Mirror, route: Path, tmp_path: Path) -> None:
    write_tile(tmp_path / "mine", "N45E007", np.full((1201, 1201), 7))
    track, _ = read_route(
        route, tmp_path / "mine", online=True, cache=tmp_path / "cache", mirror=mirror.address("missing")
    )
    assert set(track.elevation_m) == {7.0}
    assert mirror.asked == []


def test_progress_is_told(mirror: Mirror, tmp_path: Path) -> None:
    told: list[tuple[str, int, int | None]] = []
    fetch_tile(NAME, mirror.address("good"), tmp_path, progress=lambda *piece: told.append(piece))
    sizes = [done for _, done, _ in told]
    assert sizes == sorted(sizes)
    assert told[-1] == (NAME, len(mirror.tile), len(mirror.tile))


def test_the_bar_draws_on_a_terminal_and_nowhere_else(mirror: Mirror, tmp_path: Path) -> None:
    for terminal in (True, False):
        screen = io.StringIO()
        with download_bar(Console(file=screen, force_terminal=terminal, width=80)) as progress:
            fetch_tile(NAME, mirror.address("good"), tmp_path, progress=progress)
        assert ("tile N45E007" in screen.getvalue()) is terminal


def test_the_mirror_is_a_setting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(MIRROR_SETTING, "http://one.invalid/tiles/")
    assert tile_address(NAME) == "http://one.invalid/tiles/N45E007.hgt.zip"
    assert tile_address(NAME, "http://two.invalid/get?t={name}.hgt") == "http://two.invalid/get?t=N45E007.hgt"
    monkeypatch.delenv(MIRROR_SETTING)
    published = tile_address(NAME)
    assert published is not None
    assert published.startswith("https://")
    assert published.endswith("N45E007.hgt.zip")
    assert tile_address("N45W007.hgt") is None  # open ocean: nothing is published


def test_where_no_tile_is_published_nothing_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(MIRROR_SETTING, raising=False)
    path = write_text(tmp_path, track_text(northward(40, lon=-6.5)))
    with pytest.raises(ElevationError, match=r"put the tile N45W007\.hgt"):
        read_route(path, online=True, cache=tmp_path / "cache")


def test_the_cache_is_the_users_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache_folder() == tmp_path / "terrain-fuel" / "tiles"
    monkeypatch.setattr("sys.platform", "win32")
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "local"))
    assert cache_folder() == tmp_path / "local" / "terrain-fuel" / "tiles"
    monkeypatch.setattr("sys.platform", "darwin")
    assert cache_folder() == Path.home() / "Library" / "Caches" / "terrain-fuel" / "tiles"
