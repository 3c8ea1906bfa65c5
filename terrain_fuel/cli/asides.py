"""What the command line tells of itself: its version, what completes it in a shell, and examples."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from terrain_fuel.cli.exit_codes import EXIT_DONE

SHELLS = ("bash", "zsh", "fish", "tcsh", "powershell")


def add_asides(parser: argparse.ArgumentParser) -> None:
    """Add --version and --completion."""
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and end")
    parser.add_argument(
        "--completion",
        action=_Completion,
        choices=SHELLS,
        metavar="SHELL",
        help=f"print what completes the words of this command in a shell ({', '.join(SHELLS)}) and end",
    )


def add_parser(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, says: str
) -> argparse.ArgumentParser:
    """Return the parser of a command, which says what it does in the list of commands and in its own help."""
    return commands.add_parser(name, help=says, description=f"{says[0].upper()}{says[1:]}.")


def add_examples(parser: argparse.ArgumentParser, *lines: str) -> None:
    """Add lines that can be typed as they stand to the end of a command's help."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = "\n".join(("examples:", *(f"  {line}" for line in lines)))


class _Version(argparse.Action):
    """Print the version, fetched only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        import terrain_fuel

        sys.stdout.write(f"terrain-fuel {terrain_fuel.__version__}\n")
        parser.exit(EXIT_DONE)


class _Completion(argparse.Action):
    """Print the completion of the whole command line, files where files are wanted."""

    def __call__(self, parser: argparse.ArgumentParser, _: argparse.Namespace, shell: Any, *__: Any) -> None:
        import shtab

        for action in _actions(parser):
            if action.type is Path:
                action.complete = shtab.FILE  # type: ignore[attr-defined]  # where shtab looks for it
        sys.stdout.write(shtab.complete(parser, shell=shell))
        parser.exit(EXIT_DONE)


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    for action in parser._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _actions(command)
