"""`terrain-fuel log`: the rides kept, shown, corrected, exported, deleted."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_log, add_settings, refuse_other_suffix
from terrain_fuel.errors import LogError
from terrain_fuel.text import plain_text

if TYPE_CHECKING:
    from terrain_fuel.log.model import LoggedRide


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "log", "list, show, correct, export or delete the rides you have reviewed")
    add_log(parser)
    add_settings(parser, "rider")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--show", type=int, metavar="NUMBER", help="one ride whole")
    what.add_argument("--correct", type=int, metavar="NUMBER", help="set values of a ride right, with --set")
    what.add_argument("--delete", type=int, metavar="NUMBER", help="delete a ride without trace")
    what.add_argument("--export", type=Path, metavar="FILE", help="all rides as FILE.csv or FILE.json")
    what.add_argument("--season", type=Path, metavar="FILE.html", help="the season as one page")
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help="what to correct, such as stomach=7; a wrong name lists all",
    )
    parser.add_argument(
        "--cut-ends", action="store_true", help="export without names and the first and last kilometre"
    )
    add_examples(
        parser,
        "terrain-fuel log",
        "terrain-fuel log --correct 3 --set stomach=7",
        "terrain-fuel log --season season.html",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Do the one thing that was asked, or list the rides."""
    from terrain_fuel.inputs.settings import read_rider
    from terrain_fuel.log.database import log_file
    from terrain_fuel.log.rides import delete_ride, read_ride, read_rides
    from terrain_fuel.outputs.terminal_after import show_logged, show_rides
    from terrain_fuel.outputs.words import words_for

    path, console = log_file(chosen.log), Screen().console
    words = words_for(read_rider(chosen.rider))
    if chosen.show is not None:
        show_logged(read_ride(path, chosen.show), words, console)
    elif chosen.correct is not None:
        show_logged(_corrected(path, chosen), words, console)
    elif chosen.delete is not None:
        delete_ride(path, chosen.delete)
        console.print(words.label("log.deleted", number=chosen.delete), markup=False)
    elif chosen.export is not None:
        _export(path, chosen)
        console.print(words.label("log.exported", file=str(chosen.export)), markup=False)
    elif chosen.season is not None:
        from terrain_fuel.learn.season import look_at_season
        from terrain_fuel.outputs.after.season_page import write_season_page

        refuse_other_suffix(chosen.season, ".html", "--season")
        rides = read_rides(path)
        write_season_page(look_at_season(rides), words, chosen.season)
        console.print(words.label("log.exported", file=str(chosen.season)), markup=False)
    else:
        show_rides(read_rides(path), words, console)
    return EXIT_DONE


def _corrected(path: Path, chosen: argparse.Namespace) -> "LoggedRide":
    from terrain_fuel.log.rides import correct_ride

    if not chosen.set:
        raise LogError("log: --correct wants at least one --set NAME=VALUE; say what to correct")
    changes: dict[str, Any] = {}
    for pair in chosen.set:
        name, equals, value = pair.partition("=")
        if not equals:
            raise LogError(f"log: --set {pair} is no NAME=VALUE; write it like --set stomach=7")
        changes[name.strip()] = _value(value.strip())
    return correct_ride(path, chosen.correct, changes)


def _value(text: str) -> str | float:
    try:
        return float(text)
    except ValueError:
        return plain_text(text)


def _export(path: Path, chosen: argparse.Namespace) -> None:
    from terrain_fuel.log.export import rides_as_csv, rides_as_json, without_ends
    from terrain_fuel.log.rides import read_rides
    from terrain_fuel.outputs.writing import write_text

    texts = {".csv": rides_as_csv, ".json": rides_as_json}
    suffix = chosen.export.suffix.lower()
    if suffix not in texts:
        raise LogError(
            f"log: --export {chosen.export.name} is neither .csv nor .json; name a file of one of them"
        )
    rides = read_rides(path, with_places=True)
    if chosen.cut_ends:
        rides = tuple(without_ends(ride) for ride in rides)
    write_text(chosen.export, texts[suffix](rides))
