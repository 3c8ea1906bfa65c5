"""`terrain-fuel learn`: what your rides say of your settings, and what it does to past predictions."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_log, add_settings

if TYPE_CHECKING:
    from terrain_fuel.learn.model import Learned


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "learn", "propose settings from your rides, with their doubt")
    add_log(parser)
    add_settings(parser, "rider")
    parser.add_argument(
        "--change", type=Path, metavar="RIDER.toml", help="write what is proposed into this settings file"
    )
    add_examples(parser, "terrain-fuel learn", "terrain-fuel learn --change rider.toml")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print what was learned and the errors; change a file only when asked to."""
    from terrain_fuel.inputs.settings import read_rider
    from terrain_fuel.inputs.settings_lines import Change, change_rider_file
    from terrain_fuel.learn.proposals import learn_rider
    from terrain_fuel.learn.readiness import readiness_of
    from terrain_fuel.log.database import log_file
    from terrain_fuel.log.rides import read_rides
    from terrain_fuel.outputs.terminal_after import show_learning
    from terrain_fuel.outputs.words import words_for

    settings = chosen.change if chosen.change is not None else chosen.rider
    rider = read_rider(settings)
    rides = read_rides(log_file(chosen.log))
    learning = learn_rider(rides, rider)
    console, words = Screen().console, words_for(rider)
    show_learning(learning, readiness_of(rides), words, console)
    if chosen.change is not None:
        found = [each for each in learning.learned if each.key]
        change_rider_file(chosen.change, [Change(each.table, each.key, _toml(each)) for each in found])
        for each in found:
            was = "" if each.was is None else str(each.was)
            line = words.label("learn.changed", setting=each.key, was=was or "-", value=_toml(each))
            console.print(line, markup=False)
    return EXIT_DONE


def _toml(learned: "Learned") -> str:
    return f'"{learned.value}"' if isinstance(learned.value, str) else f"{learned.value:g}"
