"""What no command may do, whatever it is given: a traceback, half an output, a wait for a pipe."""

import codecs
import ctypes
import io
import json
import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from rich.console import Console

from terrain_fuel.cli.main import main
from terrain_fuel.cli.streams import ERRORS, Outlet, plainer, safe_streams
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.terminal import show_plan
from terrain_fuel.outputs.words import words_for
from tests.demo import ROUTES
from tests.inputs.made_files import Point, northward, track_text
from tests.outputs.demo_plans import demo_plan

LOOP = str(ROUTES / "loop-120.gpx")
ROLLING = [str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}"]
SWEAT = "sweat --before-kg=71.2 --after-kg=69.9 --drunk-ml=1250 --minutes=150"
HILL: list[Point] = [(lat, lon, 100 + i) for i, (lat, lon, _) in enumerate(northward(40))]
BARS = "\x1b[2J\x1b]0;title\x07\x9b31m\u202e\u2066\x85"
"""A cleared screen, a changed title, a colour, two marks that turn reading, a next line of C1."""


def run(*words: str, **more: object) -> subprocess.CompletedProcess[bytes]:
    """Run a command in a process of its own."""
    environment = {**os.environ, **more.pop("env", {})}  # type: ignore[dict-item]
    line = [sys.executable, "-m", "terrain_fuel", *words]
    return subprocess.run(line, capture_output=True, env=environment, check=False, **more)  # type: ignore[call-overload,no-any-return]


def refusal(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Return the one line with which a command ends with 2."""
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    return said.err


def test_a_process_prints_in_any_encoding() -> None:
    done = run("terrain", LOOP, env={"PYTHONIOENCODING": "cp1252"})
    assert (done.returncode, done.stderr) == (0, b"")
    assert "! hands on the bars" in done.stdout.decode("cp1252")


@pytest.mark.parametrize(("encoding", "shown"), [("ascii", "Cafe * ? ... !"), ("cp437", "Café * ? ... !")])
def test_letters_that_a_screen_lacks_become_the_nearest(encoding: str, shown: str) -> None:
    codecs.register_error(ERRORS, plainer)
    screen = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    outlet = Outlet(screen)
    outlet.write("Café ● 峠 … ▲")
    outlet.flush()
    assert screen.buffer.getvalue().decode(encoding) == shown


def test_who_called_a_command_may_close_the_streams_after_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """From Python 3.13 on it is told what fails while a stream goes away."""
    screen = io.StringIO()
    monkeypatch.setattr(sys, "stdout", screen)
    with safe_streams() as outlet:
        outlet.write("hands on the bars")
    assert screen.getvalue() == "hands on the bars"
    screen.close()
    outlet.close()


@pytest.mark.parametrize("at_once", ["", "1"])
def test_a_screen_that_is_closed_and_a_reader_that_leaves(at_once: str) -> None:
    """What is written at once fails there, what is held back fails when it is sent, or when Python ends."""
    for words, code in (
        (f"{SWEAT} >&-", b"0"),
        (f"{SWEAT} | true", b"0"),
        (f"terrain '{LOOP}' | head -c 1", b"0"),
        ("check nowhere.json | true", b"2"),
    ):
        script = f"'{sys.executable}' -m terrain_fuel {words}; echo ${{PIPESTATUS[0]}} >&2"
        environment = {**os.environ, "PYTHONUNBUFFERED": at_once}
        done = subprocess.run(["bash", "-c", script], capture_output=True, env=environment, check=False)
        assert done.stderr.splitlines()[-1] == code
        assert b"Traceback" not in done.stderr
        assert b"Exception ignored" not in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is full")
def test_a_screen_that_is_full_is_said() -> None:
    with open("/dev/full", "wb") as full:
        line = [sys.executable, "-m", "terrain_fuel", *SWEAT.split()]
        done = subprocess.run(line, stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == 74
    assert done.stderr.count(b"\n") == 1
    assert b"standard output: cannot be written" in done.stderr


SHORT_OF_MEMORY = """
import resource, sys
from pathlib import Path
from terrain_fuel.cli import terrain
from terrain_fuel.cli.main import main
from terrain_fuel.inputs import route
pages = int(Path("/proc/self/statm").read_text().split()[0])
most = pages * resource.getpagesize() + 30_000_000
resource.setrlimit(resource.RLIMIT_AS, (most, most))
sys.exit(main(["terrain", sys.argv[1]]))
"""


@pytest.mark.skipif(sys.platform != "linux", reason="needs a system that bounds the memory of a process")
def test_a_machine_without_memory_is_said(tmp_path: Path) -> None:
    route = tmp_path / "hills.gpx"
    with route.open("wb") as file:
        file.truncate(60_000_000)  # more than the process may take
    line = [sys.executable, "-c", SHORT_OF_MEMORY, str(route)]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (71, "", 1), done.stderr
    assert "no memory left" in done.stderr


def test_without_a_home(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")  # what Python says then

    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(Path, "home", homeless)
    assert main(["terrain", *ROLLING]) == 0
    capsys.readouterr()
    assert "--tile-cache" in refusal(["terrain", ROLLING[0], "--online"], capsys)


def test_an_interrupt_ends_with_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(*args: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("terrain_fuel.inputs.settings.read_rider", interrupted)
    assert main(["terrain", LOOP]) == 130
    assert capsys.readouterr().err == "terrain-fuel: interrupted; nothing is left half written\n"


def test_what_nobody_foresaw_is_one_line_and_a_report(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*args: object) -> None:
        raise ZeroDivisionError(f"division{BARS}\nby zero")

    monkeypatch.setattr("terrain_fuel.inputs.settings.read_rider", broken)
    assert main(["terrain", LOOP]) == 70
    said = capsys.readouterr().err
    assert said == (
        "terrain-fuel: something went wrong that it did not foresee (ZeroDivisionError: division by zero);"
        " please report this, with the details that TERRAIN_FUEL_REPORT=FILE writes\n"
    )
    monkeypatch.setenv("TERRAIN_FUEL_REPORT", str(tmp_path / "report.txt"))
    assert main(["terrain", LOOP]) == 70
    assert "report.txt" in capsys.readouterr().err
    report = (tmp_path / "report.txt").read_text(encoding="utf-8")
    assert "in broken" in report
    assert LOOP not in report  # where the rider rides is nobody's business


OUT = "--out=never-written"
DOORS_FOR_FILES = {
    "terrain route": ("terrain", "IT"),
    "plan route": ("plan", "IT", OUT),
    "recording": ("calibrate", "IT"),
    "training route": ("rehearse", "IT", "ROAD"),
    "race route": ("rehearse", "ROAD", "IT"),
    "rider": ("terrain", "ROAD", "--rider", "IT"),
    "day": ("terrain", "ROAD", "--day", "IT"),
    "pantry": ("plan", "ROAD", OUT, "--pantry", "IT"),
    "pins": ("plan", "ROAD", OUT, "--pins", "IT"),
    "training day": ("rehearse", "ROAD", "ROAD", "--training-day", "IT"),
    "race day": ("rehearse", "ROAD", "ROAD", "--race-day", "IT"),
    "ride to review": ("review", "IT", OUT, "--no-log"),
    "plan of a ride": ("review", "ROAD", OUT, "--no-log", "--plan", "IT"),
    "form after a ride": ("review", "ROAD", OUT, "--no-log", "--after", "IT"),
    "log of a plan": ("plan", "ROAD", OUT, "--log", "IT"),
    "log": ("log", "--log", "IT"),
    "log to learn from": ("learn", "--log", "IT"),
    "settings to change": ("learn", "--log", "NONE", "--change", "IT"),
    "log of a rehearsal": ("rehearse", "ROAD", "ROAD", "--log", "IT"),
    "plan beside another": ("compare", "IT", "IT"),
    "team": ("team", "IT", OUT),
    "event": ("event", "IT", OUT),
    "weighed rider": ("sweat", *SWEAT.split()[1:], "--rider", "IT"),
    "plan to check": ("check", "IT"),
    "plan to explain": ("why", "IT", "1"),
}
"""Every place of a command line that takes a file."""


@contextmanager
def standing(kind: str, place: Path) -> Iterator[None]:
    """Put something that is no file in a place; a pipe has no writer and never will have."""
    with socket.socket(socket.AF_UNIX) as server:
        if kind == "pipe":
            os.mkfifo(place)
        elif kind == "socket":
            server.bind(str(place))
        elif kind == "folder":
            place.mkdir()
        else:
            place.symlink_to("/dev/zero")
        yield


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes that have names")
@pytest.mark.parametrize("kind", ["pipe", "folder", "socket", "device"])
@pytest.mark.parametrize("door", DOORS_FOR_FILES)
def test_what_is_no_file_is_refused_at_once(
    kind: str, door: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place, road = tmp_path / "it", tmp_path / "road.gpx"
    road.write_text(track_text(HILL), encoding="utf-8")
    with standing(kind, place):
        paths = {"IT": str(place), "ROAD": str(road), "NONE": str(tmp_path / "none")}
        words = [paths.get(word, word) for word in DOORS_FOR_FILES[door]]
        said = refusal(words, capsys)
    plans = ("plan beside another", "plan of a ride", "plan to check", "plan to explain")
    if kind == "folder" and door == "plan route":  # where a folder may stand
        assert "it: holds no route.gpx; copy your route into it" in said
    elif kind == "folder" and door in plans:
        assert "it/plan.json: there is no such file" in said
    else:
        assert f"is a {kind}, not a file" in said
    assert not Path("never-written").exists()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes that have names")
@pytest.mark.parametrize("kind", ["pipe", "folder", "socket", "device"])
def test_what_is_no_tile_is_not_waited_for(
    kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    route, folder = tmp_path / "route.gpx", tmp_path / "tiles"
    folder.mkdir()
    route.write_text(track_text([(lat, lon, None) for lat, lon, _ in HILL]), encoding="utf-8")
    with standing(kind, folder / "N45E007.hgt"):
        assert "N45E007.hgt" in refusal(["terrain", str(route), f"--elevation={folder}"], capsys)


def test_the_route_of_a_check_is_a_file_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = tmp_path / "plan.json"
    plan.write_text(json.dumps(plan_to_dict(demo_plan("rolling-60"))), encoding="utf-8")
    assert "is a folder, not a file" in refusal(["check", str(plan), f"--route={tmp_path}"], capsys)


@pytest.mark.parametrize("name", ["x" * 5000, "x" * 300 + ".gpx", "no\0name", f"{BARS}.gpx"])
@pytest.mark.parametrize("words", [["terrain"], ["terrain", LOOP, "--rider"], ["check"]])
def test_a_name_that_no_file_has(name: str, words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    said = refusal([*words, name], capsys)
    assert said[:-1].isprintable()
    assert len(said) < 600


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes that have names")
@pytest.mark.parametrize("kind", ["pipe", "folder", "socket", "device"])
def test_nothing_that_is_no_file_is_put_out_of_the_way_for_an_output(
    kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # whoever may do all could lose a device for good: a file would stand in its place
    with standing(kind, tmp_path / "hills.svg"):
        before = (tmp_path / "hills.svg").stat().st_mode
        said = refusal(["terrain", *ROLLING, "--picture", str(tmp_path / "hills.svg")], capsys)
        assert f"is a {kind}, not a file" in said
        assert (tmp_path / "hills.svg").stat().st_mode == before


def test_a_picture_without_a_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert "is a folder, not a file" in refusal(["terrain", *ROLLING, "--picture", ""], capsys)


NAMES_OF_FILES_AND_FOLDERS = (
    ("plan", "NAME", OUT),
    ("plan", ROLLING[0], "--out", "NAME"),
    ("plan", *ROLLING, OUT, "--log", "NAME"),
    ("plan", ROLLING[0], OUT, "--elevation", "NAME"),
    ("plan", *ROLLING, OUT, "--places", "NAME"),
    ("open", "NAME"),
    ("team", "NAME", OUT),
    ("event", "NAME", OUT),
    ("compare", "NAME", "NAME"),
    ("log", "--log", "NAME"),
    ("learn", "--log", "NAME"),
    ("init", "NAME"),
)


@pytest.mark.parametrize("name", ["x" * 5000, "/".join(["x" * 200] * 30)], ids=["word", "path"])
@pytest.mark.parametrize("words", NAMES_OF_FILES_AND_FOLDERS, ids=lambda words: " ".join(words)[:30])
def test_a_name_longer_than_any_file_has(
    name: str, words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    said = refusal([name if word == "NAME" else word for word in words], capsys)
    assert len(said) < 600


def without_power() -> None:
    """Give up what lets a superuser open everything; nobody else has it."""
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        for capability in (1, 2):  # to write, and to read and search, whatever a file's mode says
            ctypes.CDLL(None).prctl(24, capability, 0, 0, 0)  # 24: of whatever runs in this place next


@pytest.mark.skipif(sys.platform != "linux", reason="its way of a superuser without power")
@pytest.mark.parametrize(
    "words",
    [
        ("plan", "SHUT"),
        ("plan", "SHUT/road.gpx"),
        ("terrain", "SHUT/road.gpx"),
        ("log", "--log", "SHUT/log.sqlite"),
        ("learn", "--log", "SHUT/log.sqlite"),
        ("open", "SHUT"),
        ("check", "SHUT/plan.json"),
        ("plan", "FILE"),
        ("check", "FILE"),
    ],
    ids=" ".join,
)
def test_what_may_not_be_opened_is_said(words: tuple[str, ...], tmp_path: Path) -> None:
    shut, file = tmp_path / "shut", tmp_path / "file"
    shut.mkdir()
    file.write_bytes(b"")
    shut.chmod(0)
    file.chmod(0)
    try:
        told = [word.replace("SHUT", str(shut)).replace("FILE", str(file)) for word in words]
        done = run(*told, preexec_fn=without_power, cwd=tmp_path, env={"XDG_DATA_HOME": str(tmp_path)})
    finally:
        shut.chmod(0o700)
    assert (done.returncode, done.stderr.count(b"\n"), done.stdout) == (2, 1, b""), done.stderr
    assert b"ermission denied" in done.stderr


@pytest.mark.parametrize("words", [["plan"], ["terrain"], ["terrain", LOOP, "--rider"], ["check"], ["open"]])
def test_a_link_to_itself_is_said(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "link")
    assert "link" in refusal([*words, str(tmp_path / "link")], capsys)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("[rider]\nx=" + "[" * 5000 + "]" * 5000, "nested too deep"),
        ("[rider]\nbody_mass_kg=" + "9" * 5000, "thousands of digits"),
        ("a" * 1_100_000 + "=1", "allowed are 1 MB"),
        ("[" + ".".join(["a"] * 5_000) + "]", "nested too deep"),
        ("[rider]\n" + "a." * 5_000 + "a=1", "nested too deep"),
        ("[rider]\nx = {" + "'a' . " * 120_000 + "a = 1}", "nested too deep"),
        (f'[rider]\n"{"a" * 50_000}" = 1', "is not a setting"),
        ('[rider]\n"\\u001b[2Jftp" = 1', "[rider] ftp is not a setting"),
        ("[rider]\nftp_w = 1e400", "ftp_w is inf"),
    ],
)
def test_settings_that_are_deep_or_huge(
    text: str, part: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "rider.toml"
    path.write_text(text, encoding="utf-8")
    said = refusal(["terrain", LOOP, f"--rider={path}"], capsys)
    assert part in said
    assert len(said) <= 2001


def test_a_byte_order_mark_is_accepted(tmp_path: Path) -> None:
    path = tmp_path / "rider.toml"
    path.write_text("[rider]\nftp_w = 200\n", encoding="utf-8-sig")
    assert main(["terrain", LOOP, f"--rider={path}"]) == 0


@pytest.mark.parametrize("lines", ["", "\n \n"])
def test_so_it_is_before_a_route_with_empty_lines_or_without(tmp_path: Path, lines: str) -> None:
    path = tmp_path / "route.gpx"
    path.write_text(lines + track_text(HILL), encoding="utf-8-sig")
    assert main(["terrain", str(path)]) == 0


def test_a_file_name_that_is_no_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / os.fsdecode(b"caf\xe9.gpx")
    path.write_text(track_text(HILL, name=""), encoding="utf-8")
    assert main(["terrain", str(path)]) == 0
    assert capsys.readouterr().out.startswith("caf\ufffd")


@pytest.mark.parametrize(("route", "language"), [("rolling-60", "en"), ("loop-120", "de")])
def test_screens_of_twenty_columns_show_distance_and_clock(route: str, language: str) -> None:
    """Beside them stands what, folded as often as it must, in columns wide enough for a syllable."""
    plan = demo_plan(route, language=language)
    shown = io.StringIO()
    show_plan(plan, (), Console(file=shown, width=20, force_terminal=True, color_system=None))
    lines = shown.getvalue().splitlines()
    assert max(map(len, lines)) <= 20
    head = words_for(plan.rider).label("terminal.what")
    what_from = next(line.index(head) for line in lines if head in line)
    what = "".join("".join(line[what_from:].split()) for line in lines)
    assert 20 - what_from >= 4
    for row in plan_rows(plan):
        assert any(row.distance_text in line[:what_from] and row.clock in line[:what_from] for line in lines)
        assert "".join(row.told.split()) in what


@pytest.mark.parametrize(
    "words", [["plan", LOOP, "--out="], ["init", ""], ["team", str(ROUTES / "team.toml"), "--out= "]]
)
def test_an_empty_name_is_no_folder(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit) as end:
        main(words)
    assert end.value.code == 2
    assert "an empty name is no folder" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_the_checker_says_that_it_reads_gpx_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan, route = tmp_path / "plan.json", tmp_path / "route.kml"
    plan.write_text(json.dumps(plan_to_dict(demo_plan("rolling-60"))), encoding="utf-8")
    route.write_text("<kml><Placemark/></kml>", encoding="utf-8")
    assert "the checker reads GPX alone" in refusal(["check", str(plan), f"--route={route}"], capsys)


@pytest.mark.parametrize("told", ["x", "-1", "1e9", "9" * 30, "\u0663"])
def test_a_moment_that_is_none_is_refused_before_anything_is_read(
    told: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The library that writes PDFs reads it too."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", told)
    assert "allowed are whole seconds since 1970" in refusal(["plan", *ROLLING, OUT], capsys)
