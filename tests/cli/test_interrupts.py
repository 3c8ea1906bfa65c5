"""Ctrl-C at any moment of a process ends with one line and 130, whatever is being loaded or ended then."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.demo import ROUTES

SAID = "terrain-fuel: interrupted; nothing is left half written\n"
SWEAT = ["sweat", "--before-kg=71.2", "--after-kg=69.9", "--drunk-ml=1250", "--minutes=150"]
PLAN = ("plan", str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}")

STARTED = """
import runpy, signal, sys

moment, sys.argv = sys.argv[1], sys.argv[1:]

class Presses:
    def find_spec(self, name, path=None, target=None):
        if name == moment:
            signal.raise_signal(signal.SIGINT)

signal.signal(signal.SIGINT, signal.default_int_handler)
sys.meta_path.insert(0, Presses())
runpy.run_module("terrain_fuel", run_name="__main__", alter_sys=True)
"""
"""The command as it is started, in which Ctrl-C is pressed just before a module is loaded."""

AT_ITS_END = STARTED.replace(
    "runpy.run", "import atexit\natexit.register(signal.raise_signal, signal.SIGINT)\nrunpy.run"
)
TWICE = STARTED.replace(
    "runpy.run",
    """
import builtins
told = builtins.print
def pressed_again(*words, **more):
    told(*words, **more)
    signal.raise_signal(signal.SIGINT)
builtins.print = pressed_again
runpy.run""",
)


def ended(program: str, moment: str, *words: str) -> tuple[int, str, str]:
    """Return code, standard output and standard error of a command."""
    line = [sys.executable, "-c", program, moment, *words]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize(
    "moment",
    ["terrain_fuel.cli.main", "argparse", "terrain_fuel.cli.team", "numpy", "lxml", "terrain_fuel.planner"],
)
def test_while_the_command_is_loaded(moment: str, tmp_path: Path) -> None:
    assert ended(STARTED, moment, *PLAN, f"--out={tmp_path / 'ride'}") == (130, "", SAID)
    assert not list(tmp_path.iterdir())


def test_when_all_is_done() -> None:
    code, shown, said = ended(AT_ITS_END, "", *SWEAT)
    assert (code, said) == (130, SAID)
    assert "ml" in shown


def test_pressed_again_while_it_is_told() -> None:
    assert ended(TWICE, "terrain_fuel.inputs.settings", *SWEAT) == (130, "", SAID)


def test_nobody_listens_where_it_was_started_so() -> None:
    """As a shell starts what runs on without its terminal."""
    deaf = STARTED.replace("default_int_handler", "SIG_IGN", 1)
    assert ended(deaf, "argparse", *SWEAT)[0] == 0
