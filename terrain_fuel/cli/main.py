"""The command line: words to a command, the command's errors to one line and an exit code."""

import argparse
import sys
from collections.abc import Sequence
from typing import NoReturn

from terrain_fuel.cli import calibrate, check, plan, rehearse, sweat, terrain, why
from terrain_fuel.cli.exit_codes import EXIT_BAD_INPUT, EXIT_DONE, EXIT_INTERRUPTED
from terrain_fuel.errors import TerrainFuelError

COMMANDS = (plan, terrain, why, check, rehearse, calibrate, sweat)


class OneLineParser(argparse.ArgumentParser):
    """A parser that says what is wrong with the words in one line, like every other message."""

    def error(self, message: str) -> NoReturn:
        """End with the message, and where help is."""
        self.exit(EXIT_BAD_INPUT, f"{self.prog}: {message}; see {self.prog} --help\n")


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    parser = OneLineParser(
        prog="terrain-fuel",
        description="Plan where to eat, where to drink and where to keep both hands on the bars.",
        epilog="Exit codes: 0 done; 2 bad input, nothing written; 3 written, but a hard rule cannot be kept.",
    )
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
    chosen = build_parser().parse_args(words)
    try:
        return int(chosen.run(chosen))
    except TerrainFuelError as fault:
        print(fault, file=sys.stderr)  # noqa: T201
        return EXIT_BAD_INPUT
    except BrokenPipeError:
        sys.stderr.close()
        return EXIT_DONE
    except KeyboardInterrupt:
        return EXIT_INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
