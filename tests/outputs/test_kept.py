"""Faces and the map's script kept on disk: the same bytes with them, without them and unkept."""

import hashlib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from terrain_fuel.outputs.map.map_page import map_page
from terrain_fuel.outputs.map.page_parts import page_script
from terrain_fuel.outputs.printed.faces import STRIP_NARROW, cut_face
from terrain_fuel.outputs.printed.fonts import face_bytes
from tests.outputs.sample_plan import sample_plan


@pytest.fixture(scope="module")
def cut() -> bytes:
    return cut_face(STRIP_NARROW)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return where faces are kept, a folder that does not exist yet."""
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "terrain-fuel" / "faces"


def test_a_face_is_cut_once_and_then_read_from_the_folder(cut: bytes, folder: Path) -> None:
    assert face_bytes(STRIP_NARROW) == cut
    (kept,) = folder.iterdir()
    assert kept.name.startswith(STRIP_NARROW)
    assert kept.read_bytes() == hashlib.sha256(cut).digest() + cut
    planted = b"what lies there is taken as it is if its digest is right"
    kept.write_bytes(hashlib.sha256(planted).digest() + planted)
    assert face_bytes(STRIP_NARROW) == planted


@pytest.mark.parametrize("damage", [lambda kept: kept[:-7], lambda kept: kept[:-1] + b"!", lambda kept: b""])
def test_a_damaged_face_is_cut_again_and_kept_whole(
    damage: Callable[[bytes], bytes], cut: bytes, folder: Path
) -> None:
    face_bytes(STRIP_NARROW)
    (kept,) = folder.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(damage(whole))
    assert face_bytes(STRIP_NARROW) == cut
    assert kept.read_bytes() == whole
    assert list(folder.iterdir()) == [kept]


def test_where_nothing_can_be_kept_the_face_is_the_same(
    cut: bytes, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder.parents[1].write_bytes(b"a file where the cache folder should be")
    assert face_bytes(STRIP_NARROW) == cut
    monkeypatch.setattr(Path, "home", no_home)
    monkeypatch.setenv("XDG_CACHE_HOME", "relative/is/ignored")
    assert face_bytes(STRIP_NARROW) == cut


def no_home() -> Path:
    raise RuntimeError("Could not determine home directory.")


@pytest.mark.parametrize("credit", ["", "© the map's makers"])
def test_the_map_is_drawn_once_for_all_rides_and_again_where_its_script_is_not_kept(
    credit: str, folder: Path
) -> None:
    drawn = page_script(credit)
    assert "window.roadMap = L.map(" in drawn
    (kept,) = folder.with_name("map").iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-1])
    assert page_script(credit) == drawn
    assert kept.read_bytes() == whole
    planted = b"/* drawn before */"
    kept.write_bytes(hashlib.sha256(planted).digest() + planted)
    assert planted.decode() in page_script(credit)
    assert page_script("another credit") != drawn


def test_a_kept_page_takes_any_name_and_data(folder: Path) -> None:
    plan = replace(sample_plan(), name="</title> & 'loop' \ue000data\ue000")
    drawn = map_page(plan)
    assert drawn.count("<title>") == drawn.count("</title>") == 1
    assert len(list(folder.with_name("map").iterdir())) == 2  # the map's script and the page
    assert map_page(plan) == drawn
    assert "<title>another" in map_page(replace(plan, name="another"))
