"""`terrain-fuel init`: a folder with settings files that name and explain every key."""

import argparse
from pathlib import Path

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import folder_path
from terrain_fuel.cli.terminal_language import terminal_language
from terrain_fuel.errors import OutputError
from terrain_fuel.text import PATH_LETTERS, plain_text
from terrain_fuel.what_stands import is_there


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "init", "write settings files with every key, explained")
    parser.add_argument("folder", type=folder_path, metavar="FOLDER", help="made when it is not there")
    add_examples(parser, "terrain-fuel init mine")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the files that are not there yet, in the terminal's language; those that are stay as they are."""
    from terrain_fuel.outputs.wished_language import wished_language
    from terrain_fuel.rides.durable import write_durably
    from terrain_fuel.rides.ride_folder import SETTINGS
    from terrain_fuel.rides.starting import settings_text

    screen = Screen()
    language = wished_language(terminal_language()) or "en"
    folder: Path = chosen.folder
    try:
        folder.mkdir(parents=True, exist_ok=True)
        there = {name for name in SETTINGS if is_there(folder / f"{name}.toml")}
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "no folder can have that name"
        if isinstance(fault, FileExistsError):
            reason = "it is a file"
        raise OutputError(
            f"{plain_text(str(folder), PATH_LETTERS)}: cannot be made ({reason}); choose another"
        ) from None
    for name in SETTINGS:
        path = folder / f"{name}.toml"
        if name not in there:
            write_durably(path, settings_text(name, language).encode("utf-8"))
        said = "kept as it is" if name in there else "written"
        screen.console.print(f"{plain_text(str(path), PATH_LETTERS)}  {said}", markup=False)
    return EXIT_DONE
