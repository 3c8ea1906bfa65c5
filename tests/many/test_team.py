"""A whole team by the command, over real processes: the single command's bytes, and nothing lost."""

import json
import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from pyarrow import parquet
from pypdf import PdfReader

from terrain_fuel.many.kept import KEPT, only_run
from tests.many.own_cluster import LONGEST_S, ROOT, process, scheduler, wait_for, workers
from tests.team.made_team import RIDERS, write_team

COMMAND = [sys.executable, "-m", "terrain_fuel"]

pytestmark = pytest.mark.slow


def told(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *words], check=False, capture_output=True, text=True, timeout=LONGEST_S, cwd=ROOT
    )


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and KEPT not in path.parts and path.suffix != ".parquet"
    }


def test_a_team_by_the_command_its_bytes_and_its_second_run(tmp_path: Path) -> None:
    bunch = '[[bunch]]\nset_by = "Ilka Brandvold"\n'
    team, out = write_team(tmp_path / "in", 1, bunch), tmp_path / "out"
    first = told("team", str(team), "--out", str(out))
    assert (first.returncode, first.stderr) == (0, "")
    assert f"2 plans in {out}: 2 planned now, 0 from before" in first.stdout
    marlo = out / "Marlo-Fenwether" / "1"
    single = tmp_path / "single"
    settings = [f"--{name}={marlo / name}.toml" for name in ("rider", "pantry", "day")]
    assert told("plan", str(tmp_path / "in" / "stage-1.gpx"), "--out", str(single), *settings).returncode == 0
    assert {path: made for path, made in files_in(marlo).items() if ".toml" not in path} == files_in(single)
    before = files_in(out)
    (marlo / "sheet.pdf").unlink()
    again = told("team", str(team), "--out", str(out))
    assert f"2 plans in {out}: 1 planned now, 1 from before" in again.stdout
    assert files_in(out) == before
    pages = [page.extract_text() for page in PdfReader(out / "team.pdf").pages]
    assert [page.splitlines()[0] for page in pages[:2]] == ["Shopping", "Kitchen, the evening before"]
    for page in (page for page in pages if "For the helper at Mill" in page):
        assert all(name in page for name in RIDERS)
    table = parquet.read_table(out / "tables" / "bottles.parquet").to_pydict()
    assert set(table["rider"]) == set(RIDERS)


def test_the_teams_sheets_speak_the_teams_language_and_cut_no_heading(tmp_path: Path) -> None:
    """Riders have their own: their languages stand in their files."""
    team, out = write_team(tmp_path / "in", 1), tmp_path / "out"
    hot = (tmp_path / "in" / "day.toml").read_text().replace("temperature_c = 24", "temperature_c = 40")
    (tmp_path / "in" / "day.toml").write_text(hot)
    team.write_text(team.read_text().replace('"Mill Lane"', '"Mill Lane"\nlanguage = "de"', 1))
    done = told("team", str(team), "--out", str(out), "--plans-only")
    assert done.returncode == 3
    first, *lines = done.stdout.splitlines()
    assert first.startswith("1, alle: nicht fahren: ")
    assert not [line for line in lines if "nicht fahren" in line]
    assert lines[0] == f"2 Pläne in {out}: 2 jetzt geplant, 0 von vorher"
    # what the exit code says was told above: the sheets have no other broken rule to be sent to for
    assert not [line for line in lines if "feste Regel" in line]
    assert lines[-1].startswith(f"geschrieben nach {out}: team.pdf, team.html, tables/plans.parquet, ")
    text = " ".join(page.extract_text() for page in PdfReader(out / "team.pdf").pages)
    assert "nicht fahren" in text
    assert "do not ride" not in text
    assert "\u2026" not in text
    said = json.loads((out / "Marlo-Fenwether" / "1" / "plan.json").read_text())["violations"]
    assert any("ride" in each["sentence"] for each in said)


def test_who_would_ride_two_stages_at_once_is_told_before_all_else(tmp_path: Path) -> None:
    """About 29 km are an hour's ride: the second stage begins 35 min after the first, for one of the two."""
    later = (
        '[[stage]]\nname = "2"\nroute = "stage-1.gpx"\nday = "day.toml"\nriders = ["Marlo Fenwether"]\n'
        'start = "2027-06-19 09:35"\n'
    )
    team, out = write_team(tmp_path / "in", 1, later), tmp_path / "out"
    words = ("team", str(team), "--out", str(out), "--plans-only")
    done = told(*words)
    assert (done.returncode, done.stderr) == (3, "")
    first, second, *_ = done.stdout.splitlines()
    assert first.startswith("Marlo Fenwether: 2 begins 2027-06-19, 09:35, ")
    assert first.endswith(
        " min before 1 is over; nobody rides both: change a start, or take the name out of one stage"
    )
    assert second.startswith("3 plans in ")
    sides = [page.extract_text() for page in PdfReader(out / "team.pdf").pages]
    assert all("nobody rides both" in " ".join(side.split()) for side in sides)
    page = (out / "team.html").read_text(encoding="utf-8")
    assert page.count(first) == page.count("<section") == len(sides) > 4
    team.write_text(team.read_text().replace("09:35", "12:35"))
    assert told(*words).returncode == 0


def test_four_processes_on_the_loopback_make_the_same_bytes(tmp_path: Path) -> None:
    team = write_team(tmp_path / "in", 2)
    here, there = tmp_path / "here", tmp_path / "there"
    words = ("team", str(team), "--plans-only", "--quiet")
    assert told(*words, "--out", str(here), "--workers", "1").returncode == 0
    with scheduler(tmp_path) as (_, address), workers(address, 4):
        done = told(*words, "--out", str(there), "--scheduler", address)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert files_in(here) == files_in(there)
    for name in ("plans", "shopping", "shares", "bottles", "handed_up"):
        one, four = (parquet.read_table(folder / "tables" / f"{name}.parquet") for folder in (here, there))
        assert one.equals(four)


def test_one_broken_route_leaves_the_rest_done_and_says_so(tmp_path: Path) -> None:
    team, out = write_team(tmp_path / "in", 2), tmp_path / "out"
    (tmp_path / "in" / "stage-2.gpx").write_text("<gpx>torn", encoding="utf-8")
    done = told("team", str(team), "--out", str(out), "--plans-only")
    assert done.returncode == 4
    (line,) = done.stderr.splitlines()
    assert line.startswith("not planned: Ilka Brandvold, 2 and 1 more: stage-2.gpx: ")
    assert {path.parent.name for path in out.rglob("plan.json")} == {"1"}
    assert "stage-2.gpx" in PdfReader(out / "team.pdf").pages[0].extract_text()


def test_ctrl_c_ends_it_with_one_line_and_the_next_run_goes_on(tmp_path: Path) -> None:
    team, out = write_team(tmp_path / "in", 4), tmp_path / "out"
    words = ["team", str(team), "--out", str(out), "--workers", "1", "--plans-only"]
    # what was started in the background has this signal ignored, and so has all that it starts
    heard = "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler)"
    program = f"{heard}; from terrain_fuel.cli.main import main; sys.exit(main())"
    with process("-c", program, *words) as running:
        wait_for(out / KEPT, 1)
        os.killpg(running.pid, signal.SIGINT)  # as a terminal does: to the workers too
        said = running.communicate(timeout=LONGEST_S)[1].decode()
    assert (running.returncode, said) == (130, "terrain-fuel: interrupted; nothing is left half written\n")
    finished = len(list((out / KEPT).iterdir()))
    again = told(*words)
    assert f"8 plans in {out}: {8 - finished} planned now, {finished} from before" in again.stdout
    assert len(list(out.rglob("plan.json"))) == 8


def test_an_unknown_scheduler_and_a_folder_that_cannot_be_are_one_message(tmp_path: Path) -> None:
    team = write_team(tmp_path / "in")
    (tmp_path / "file").touch()
    with socket.socket() as silent:  # its port is nobody else's, and nobody listens there
        silent.bind(("127.0.0.1", 0))
        address = f"tcp://127.0.0.1:{silent.getsockname()[1]}"
        for words, said in (
            (("--out", str(tmp_path / "out"), "--scheduler", address), "nothing answers"),
            (("--out", str(tmp_path / "file")), "cannot be made (File exists)"),
        ):
            done = told("team", str(team), *words)
            assert (done.returncode, done.stdout) == (2, "")
            (line,) = done.stderr.splitlines()
            assert said in line


def test_two_runs_into_one_folder_are_one_run_and_one_message(tmp_path: Path) -> None:
    """Each would sweep away what the other is keeping; the first goes on, and so does who comes after it."""
    team, out = write_team(tmp_path / "in", 1), tmp_path / "out"
    (tmp_path / "event.toml").write_text(
        '[event]\nroute = "in/stage-1.gpx"\ndate = "2027-06-19"\nriders = 50\n[[wave]]\nstart = "07:30"\n'
        'riders = 50\n[[feed]]\nname = "Mill"\nat_km = 14\n'
    )
    words = ("team", str(team), "--out", str(out), "--plans-only", "--workers", "1")
    with only_run(out):
        for asked in (words, ("event", str(tmp_path / "event.toml"), "--out", str(out), "--workers", "2")):
            done = told(*asked)
            assert (done.returncode, done.stdout) == (2, "")
            (line,) = done.stderr.splitlines()
            assert f"{out}: another run is writing there; wait until it has ended" in line
        assert [path.name for path in out.iterdir()] == [KEPT]
    assert told(*words).returncode == 0


def test_a_folder_that_cannot_be_written_ends_it_with_one_message_and_loses_nothing(tmp_path: Path) -> None:
    team, out = write_team(tmp_path / "in", 1), tmp_path / "out"
    out.mkdir()
    (out / "Marlo-Fenwether").touch()  # a file where the rider's folder should be
    words = ("team", str(team), "--out", str(out), "--plans-only", "--workers", "1")
    done = told(*words)
    assert (done.returncode, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert "Marlo-Fenwether" in line
    assert "choose a folder with room that you may write to" in line
    assert not (out / "team.pdf").exists()
    (out / "Marlo-Fenwether").unlink()
    kept = len(list((out / KEPT).iterdir()))
    assert f"{2 - kept} planned now, {kept} from before" in told(*words).stdout
