"""All outputs of a plan or none: what is in the way, what a run leaves behind, what a killed run left."""

import os
import threading
from errno import ENOSPC, EPERM
from pathlib import Path

import pytest

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.folder import write_folder
from terrain_fuel.outputs.generation import aside_in, put_in_place
from terrain_fuel.outputs.print_choices import PrintChoices
from terrain_fuel.outputs.writing import write_text
from tests.outputs.sample_plan import sample_plan

NAMES = ("a", "b", "c")


def contents(folder: Path) -> dict[str, str]:
    """Return what every file below a folder holds, and which folders there are."""
    return {
        str(path.relative_to(folder)): path.read_text() if path.is_file() else "folder"
        for path in folder.rglob("*")
    }


def fill(aside: Path) -> None:
    """Write a new generation aside."""
    for name in NAMES:
        (aside / name).write_text(f"new {name}")


def put_new(folder: Path, names: tuple[str, ...] = NAMES) -> None:
    """Put a new generation in place."""
    with aside_in(folder) as aside:
        fill(aside)
        put_in_place(aside, names, folder)


def test_a_generation_takes_the_place_of_the_last(tmp_path: Path) -> None:
    (tmp_path / "b").write_text("old b")
    (tmp_path / "mine").write_text("mine")
    put_new(tmp_path)
    assert contents(tmp_path) == {"a": "new a", "b": "new b", "c": "new c", "mine": "mine"}


def test_a_folder_in_the_way_leaves_all_as_it_was(tmp_path: Path) -> None:
    plan = sample_plan()
    out = tmp_path / "out"
    (out / "sticker.pdf").mkdir(parents=True)
    (out / "plan.json").write_text("old")
    before = contents(out)
    with pytest.raises(OutputError, match=r"cannot be written \(sticker.pdf is a folder\)"):
        write_folder(plan, out, PrintChoices())
    assert contents(out) == before


def test_a_fault_half_way_is_rolled_back(tmp_path: Path) -> None:
    (tmp_path / "a").write_text("old a")
    with pytest.raises(FileNotFoundError):  # a and b take their places, d cannot
        put_new(tmp_path, ("a", "b", "d"))
    assert contents(tmp_path) == {"a": "old a"}


def test_so_it_is_where_no_file_has_a_second_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*names: object, **more: object) -> None:
        raise OSError(EPERM, "what such a disk says")

    monkeypatch.setattr(os, "link", refuse)
    test_a_fault_half_way_is_rolled_back(tmp_path)


def test_a_link_is_a_link_again(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("mine")
    (tmp_path / "a").symlink_to("mine")
    with pytest.raises(FileNotFoundError):
        put_new(tmp_path, ("a", "d"))
    assert (tmp_path / "a").readlink() == Path("mine")
    assert contents(tmp_path) == {"a": "mine", "mine": "mine"}


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="needs to act for another user")
def test_another_users_file_in_a_sticky_folder(tmp_path: Path) -> None:
    out = tmp_path / "shared"
    out.mkdir()
    out.chmod(0o1777)
    for path in (tmp_path, *tmp_path.parents[:2]):
        path.chmod(path.stat().st_mode | 0o055)
    (out / "a").write_text("mine")
    os.chown(out / "a", 65534, 65534)
    (out / "b").write_text("foreign")
    os.seteuid(65534)
    try:
        with pytest.raises(PermissionError):
            put_new(out)
    finally:
        os.seteuid(0)
    assert contents(out) == {"a": "mine", "b": "foreign"}


def test_new_folders_go_again_when_nothing_came_of_them(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), aside_in(tmp_path / "x" / "y" / "z"):
        raise ZeroDivisionError
    assert contents(tmp_path) == {}


def test_so_do_those_above_one_that_cannot_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = Path.mkdir

    def full(path: Path, *more: object, **named: object) -> None:
        if path.name == "z":
            raise OSError(ENOSPC, "no room")
        made(path, *more, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "mkdir", full)
    with pytest.raises(OSError, match="no room"), aside_in(tmp_path / "x" / "y" / "z"):
        pass
    assert contents(tmp_path) == {}


def test_while_one_run_sweeps_no_other_begins(tmp_path: Path) -> None:
    """One might sweep what the other has made and not yet locked."""
    fcntl = pytest.importorskip("fcntl")
    begun = threading.Event()

    def begin() -> None:
        with aside_in(tmp_path):
            begun.set()

    held = os.open(tmp_path, os.O_RDONLY)
    fcntl.flock(held, fcntl.LOCK_EX)
    other = threading.Thread(target=begin)
    other.start()
    waited = not begun.wait(0.3)
    os.close(held)
    other.join(60.0)
    assert waited
    assert begun.is_set()


def test_what_a_killed_run_left_is_swept_and_a_living_runs_is_not(tmp_path: Path) -> None:
    left = tmp_path / ".terrain-fuel-killed"
    left.mkdir()
    (left / "plan.json").write_text("half")
    with aside_in(tmp_path) as living:
        assert not left.exists()
        fill(living)
        with aside_in(tmp_path) as other:
            assert living.is_dir()
            assert other != living
    assert contents(tmp_path) == {}


@pytest.mark.parametrize("folder", ["x" * 300, "a\0b", "file/below"])
def test_names_that_no_folder_has(folder: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    with pytest.raises(OutputError, match=r"cannot be written|is no name"):
        write_folder(sample_plan(), tmp_path / folder, PrintChoices())
    assert contents(tmp_path) == {"file": "mine"}


def test_a_single_file_is_whole_or_as_it_was(tmp_path: Path) -> None:
    resource = pytest.importorskip("resource")
    place = tmp_path / "profile.svg"
    place.write_text("old")
    usual = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (10_000, usual[1]))  # a disk on which no more has room
    try:
        with pytest.raises(OutputError, match=r"profile\.svg: cannot be written \(File too large\)"):
            write_text(place, "drawing " * 10_000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, usual)
    assert contents(tmp_path) == {"profile.svg": "old"}


def test_a_single_file_leaves_nothing_beside_it(tmp_path: Path) -> None:
    (tmp_path / "profile.svg").mkdir()
    with pytest.raises(OutputError, match="is a folder, not a file"):
        write_text(tmp_path / "profile.svg", "drawing")
    assert contents(tmp_path) == {"profile.svg": "folder"}
