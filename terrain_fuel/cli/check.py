"""`terrain-fuel check`: a written plan against the hard rules, by the independent checker."""

import argparse
from pathlib import Path

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE, EXIT_RULE_BROKEN
from terrain_fuel.cli.options import add_plan


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "check", "check a written plan against the hard rules")
    add_plan(parser)
    parser.add_argument(
        "--route",
        type=Path,
        metavar="ROUTE.gpx",
        help="the route it was made for; its line and its taps are then checked too",
    )
    add_examples(parser, "terrain-fuel check out/mine --route mine.gpx")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print every fault, a line each; return 0 when there is none, else 3."""
    from terrain_fuel.checker import check_plan

    screen = Screen()
    faults = check_plan(chosen.plan, chosen.route)
    for fault in faults:
        screen.console.print(fault.sentence, markup=False)
    if not faults:
        screen.console.print("every hard rule holds")
    return EXIT_RULE_BROKEN if faults else EXIT_DONE
