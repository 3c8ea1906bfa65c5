"""Changes of a ride's settings: kept, taken back and brought again, whatever interrupts them."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from terrain_fuel.errors import OutputError, SettingsError
from terrain_fuel.rides.steps import keep_change, open_steps, step_back, step_on


@pytest.fixture
def ride(tmp_path: Path) -> Path:
    (tmp_path / "rider.toml").write_text("# mine\n[rider]\nftp_w = 200\n", encoding="utf-8")
    open_steps(tmp_path)
    return tmp_path


def ftp(ride: Path) -> str:
    return (ride / "rider.toml").read_text(encoding="utf-8").rpartition("= ")[2].strip()


def keep_ftp(ride: Path, ftp_w: int) -> None:
    keep_change(ride, {"rider": f"[rider]\nftp_w = {ftp_w}\n"}, f"ftp_w {ftp_w}")


def test_changes_go_back_and_on_byte_for_byte(ride: Path) -> None:
    first = (ride / "rider.toml").read_bytes()
    keep_ftp(ride, 210)
    keep_change(ride, {"pins": "[[no_food]]\nfrom_km = 4\nto_km = 6\n"}, "no food km 4 to 6")
    assert open_steps(ride).undoes == "no food km 4 to 6"
    step_back(ride)
    assert not (ride / "pins.toml").exists()
    assert ftp(ride) == "210"
    head = step_back(ride)
    assert (ride / "rider.toml").read_bytes() == first
    assert (head.undoes, head.redoes) == (None, "ftp_w 210")
    assert step_back(ride) == head  # nothing further back
    step_on(ride)
    step_on(ride)
    assert ftp(ride) == "210"
    assert (ride / "pins.toml").exists()
    assert step_on(ride).redoes is None


def test_a_change_after_undo_drops_what_was_undone(ride: Path) -> None:
    keep_ftp(ride, 210)
    step_back(ride)
    keep_ftp(ride, 230)
    assert open_steps(ride).redoes is None
    step_back(ride)
    assert ftp(ride) == "200"


def test_fifty_changes_can_be_undone_and_no_more_is_kept(ride: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "fsync", lambda descriptor: None)
    for ftp_w in range(201, 255):
        keep_ftp(ride, ftp_w)
    for _ in range(53):
        step_back(ride)
    assert ftp(ride) == "204"  # 254 less 50
    assert len(list((ride / ".steps").glob("0*.json"))) == 51


def test_every_move_has_a_count_of_its_own(ride: Path) -> None:
    seen = [open_steps(ride).change]
    keep_ftp(ride, 210)
    seen.append(open_steps(ride).change)
    seen += [step_back(ride).change, step_on(ride).change, open_steps(ride).change]
    assert seen == [1, 2, 3, 4, 4]


def test_a_change_made_from_an_old_state_is_refused(ride: Path) -> None:
    change = open_steps(ride).change
    keep_ftp(ride, 210)
    with pytest.raises(SettingsError, match="changed elsewhere"):
        keep_change(ride, {"rider": "[rider]\nftp_w = 250\n"}, "", change=change)
    assert ftp(ride) == "210"


def test_what_a_text_editor_wrote_is_a_change_like_any_other(ride: Path) -> None:
    keep_ftp(ride, 210)
    (ride / "rider.toml").write_bytes(b"[rider]\r\nftp_w = 222 # \xff by hand\r\n")
    assert open_steps(ride).undoes == "changed in a file"
    keep_ftp(ride, 230)
    step_back(ride)
    assert (ride / "rider.toml").read_bytes() == b"[rider]\r\nftp_w = 222 # \xff by hand\r\n"
    step_back(ride)
    assert ftp(ride) == "210"


def test_an_edit_after_a_crash_is_not_written_over(ride: Path) -> None:
    keep_ftp(ride, 210)
    head = json.loads((ride / ".steps/head.json").read_text(encoding="utf-8"))
    (ride / ".steps/head.json").write_text(json.dumps(head | {"settled": False}), encoding="utf-8")
    (ride / "rider.toml").write_text("[rider]\nftp_w = 333\n", encoding="utf-8")
    assert open_steps(ride).undoes == "changed in a file"
    assert ftp(ride) == "333"
    step_back(ride)
    assert ftp(ride) == "210"


@pytest.mark.parametrize(
    "damage", ["", "{", "[]", '{"states": [[1, "x"]], "at": 9, "change": 1, "settled": true}']
)
def test_a_damaged_head_loses_the_steps_and_never_the_settings(ride: Path, damage: str) -> None:
    keep_ftp(ride, 210)
    (ride / ".steps/head.json").write_text(damage, encoding="utf-8")
    assert open_steps(ride).undoes is None
    assert ftp(ride) == "210"
    keep_ftp(ride, 240)
    step_back(ride)
    assert ftp(ride) == "210"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        *((key, value) for key in ("at", "change") for value in (float("inf"), 10**400, -1, 0.0, "0", True)),
        ("states", [[10**300, "x"]]),
        ("states", [[float("inf"), "x"]]),
        ("states", [[1, ["x"]]]),
        ("states", [[1, "x"]] * 1000),
        ("states", None),
    ],
)
def test_a_head_that_a_stranger_packed_is_ours_or_none(ride: Path, key: str, value: object) -> None:
    keep_ftp(ride, 210)
    path = ride / ".steps/head.json"
    head = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps({**head, "at": 0, key: value}), encoding="utf-8")
    assert open_steps(ride).undoes is None
    assert ftp(ride) == "210"


def test_a_step_that_a_stranger_named_is_a_name(ride: Path) -> None:
    keep_ftp(ride, 210)
    path = ride / ".steps/head.json"
    head = json.loads(path.read_text(encoding="utf-8"))
    head["states"][-1][1] = "\u202eA\u2066 \x1b[31mb" + "n" * 5000
    path.write_text(json.dumps(head), encoding="utf-8")
    assert open_steps(ride).undoes == "A b" + "n" * 196 + "…"


def test_a_state_that_no_file_can_hold_is_refused(ride: Path) -> None:
    keep_ftp(ride, 210)
    keep_ftp(ride, 220)
    path = ride / ".steps/000002.json"
    path.write_text(json.dumps({"rider": "[rider]\nftp_w = 1 # \ud800"}), encoding="utf-8")
    with pytest.raises(SettingsError, match="not as it was written"):
        step_back(ride)
    assert ftp(ride) == "220"


def test_a_state_that_is_gone_is_stepped_over(ride: Path) -> None:
    for ftp_w in (210, 220, 230):
        keep_ftp(ride, ftp_w)
    (ride / ".steps/000003.json").unlink()  # the second change
    step_back(ride)
    assert ftp(ride) == "210"


def test_a_write_that_fails_changes_nothing(ride: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = {path: path.read_bytes() for path in ride.rglob("*") if path.is_file()}

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left"):
        keep_ftp(ride, 210)
    monkeypatch.undo()
    after = {path: path.read_bytes() for path in ride.rglob("*") if path.is_file()}
    assert after == before


DYING = """
import os, sys
from pathlib import Path
from terrain_fuel.rides.steps import keep_change, step_back

ride, doing, deadly, calls = Path(sys.argv[1]), sys.argv[2], 0, 0

def counted(call):
    def stand_in(*given, **named):
        global calls
        calls += 1
        if calls == deadly:
            os._exit(9)
        return call(*given, **named)
    return stand_in

def change():
    os.fsync = lambda descriptor: None
    for name in ("fsync", "replace", "open", "write", "unlink"):
        setattr(os, name, counted(getattr(os, name)))
    if doing == "undo":
        step_back(ride)
    else:
        keep_change(ride, {"rider": "a = 2\\n", "pins": "b = 2\\n"}, "2")

for deadly in range(1, 200):
    here = ride / str(deadly)
    here.mkdir()
    keep_change(here, {"rider": "a = 1\\n", "pins": "b = 1\\n"}, "1")
    if doing == "undo":
        keep_change(here, {"rider": "a = 2\\n", "pins": "b = 2\\n"}, "2")
    child = os.fork()
    if not child:
        ride = here
        change()
        os._exit(0)
    if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0:
        break
print(deadly)
"""


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="no such thing as a fork here")
@pytest.mark.parametrize("doing", ["change", "undo"])
def test_dying_at_any_call_leaves_one_whole_state_or_the_other(tmp_path: Path, doing: str) -> None:
    """The process ends without a word at its first, second, … call that touches the disk."""
    words = [sys.executable, "-c", DYING, str(tmp_path), doing]
    said = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    calls = int(said) - 1
    assert calls > 15
    found: list[int] = []
    for deadly in range(1, calls + 1):
        ride = tmp_path / str(deadly)
        open_steps(ride)
        numbers = {int((ride / f"{name}.toml").read_text(encoding="utf-8")[-2]) for name in ("rider", "pins")}
        assert len(numbers) == 1, deadly  # both files of one and the same change
        found += numbers
        keep_change(ride, {"rider": "a = 3\n"}, "3")
        step_back(ride)
        assert (ride / "rider.toml").read_text(encoding="utf-8") == f"a = {found[-1]}\n"
        assert not list(ride.glob(".part-*"))
    before, after = (2, 1) if doing == "undo" else (1, 2)
    turn = found.index(after)
    assert turn > 3
    assert found == [before] * turn + [after] * (calls - turn)
