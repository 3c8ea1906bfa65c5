"""The command line: words to a command, the command's errors to one line and an exit code."""

import argparse
import errno
import sys
from collections.abc import Sequence
from typing import NoReturn

from terrain_fuel.cli import (
    calibrate,
    check,
    compare,
    event,
    init,
    learn,
    log,
    open_page,
    plan,
    rehearse,
    review,
    settings,
    sweat,
    team,
    terrain,
    why,
)  # fmt: skip
from terrain_fuel.cli.asides import add_asides
from terrain_fuel.cli.exit_codes import (
    EXIT_BAD_INPUT,
    EXIT_INTERRUPTED,
    EXIT_NO_MEMORY,
    EXIT_NOT_SHOWN,
    EXIT_UNFORESEEN,
    INTERRUPTED,
    NO_MEMORY,
)
from terrain_fuel.cli.report import unforeseen_line
from terrain_fuel.cli.streams import safe_streams
from terrain_fuel.errors import TerrainFuelError
from terrain_fuel.inputs.start_time import refuse_odd_now
from terrain_fuel.text import MESSAGE_LETTERS, PATH_LETTERS, plain_text

COMMANDS = (
    plan, open_page, team, event, terrain, why, check, compare, rehearse, calibrate, sweat, review, log,
    learn, init, settings,
)  # fmt: skip


OF_ANY_NAME = {
    errno.ENAMETOOLONG: "is no name that a file can have (too long); give a shorter one",
    errno.EACCES: "cannot be opened, nor asked whether it is there (permission denied); check that you may",
    errno.ELOOP: "is a link that leads to itself; give what it should lead to",
}
"""What the system may say of any name, wherever it is asked, and what we say then."""


class OneLineParser(argparse.ArgumentParser):
    """A parser that says what is wrong with the words in one line, like every other message."""

    def error(self, message: str) -> NoReturn:
        """End with the message, and where help is."""
        said = plain_text(message, MESSAGE_LETTERS)
        self.exit(EXIT_BAD_INPUT, f"{self.prog}: {said}; see {self.prog} --help\n")


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    parser = OneLineParser(
        prog="terrain-fuel",
        description="Plan where to eat, where to drink and where to keep both hands on the bars.",
        epilog="Exit codes: 0 done; 2 bad input, nothing written; 3 written, but a hard rule cannot be kept;"
        " 4 written, but some of many plans are missing; 70 something unforeseen, nothing written;"
        " 71 no memory left, nothing written; 74 standard output cannot be written; 130 interrupted.",
    )
    add_asides(parser)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for command in COMMANDS:
        command.add_command(commands)
    return parser


def main(words: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code.

    Parameters
    ----------
    words : the words after ``terrain-fuel``, or None for those of the process
    """
    with safe_streams() as out:
        code = _run(words)
        out.flush()
        if out.fault is not None:
            _say(f"standard output: cannot be written ({out.fault.strerror}); the command's files are whole")
            return EXIT_NOT_SHOWN
        return code


def _run(words: Sequence[str] | None) -> int:
    try:
        refuse_odd_now()
        chosen = build_parser().parse_args(words)
        return int(chosen.run(chosen))
    except TerrainFuelError as fault:
        _say(str(fault))
        return EXIT_BAD_INPUT
    except KeyboardInterrupt:
        _say(INTERRUPTED)
        return EXIT_INTERRUPTED
    except MemoryError:
        _say(NO_MEMORY)
        return EXIT_NO_MEMORY
    except Exception as fault:  # whatever it is, the rider gets one line
        if isinstance(fault, OSError) and fault.errno in OF_ANY_NAME and fault.filename:
            _say(f"{plain_text(str(fault.filename), PATH_LETTERS)}: {OF_ANY_NAME[fault.errno]}")
            return EXIT_BAD_INPUT
        _say(unforeseen_line(fault))
        return EXIT_UNFORESEEN


def _say(message: str) -> None:
    print(message, file=sys.stderr)  # noqa: T201
