"""`terrain-fuel plan`: a route in, the five outputs of a plan out."""

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE, EXIT_RULE_BROKEN
from terrain_fuel.cli.options import (
    add_elevation,
    add_print,
    add_route,
    add_settings,
    print_choices,
    read_chosen_route,
    whole_number,
)
from terrain_fuel.errors import OutputError

if TYPE_CHECKING:
    from terrain_fuel.facts import Fact


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = commands.add_parser(
        "plan", help="plan a ride and write map, sticker, sheet, waypoints and plan.json"
    )
    add_route(parser)
    parser.add_argument(
        "--out", type=Path, metavar="FOLDER", help="where the outputs go (default: the ride's folder)"
    )
    add_settings(parser)
    add_elevation(parser)
    add_print(parser)
    parser.add_argument("--pins", type=Path, metavar="PINS.toml", help="places and items the rider has fixed")
    parser.add_argument(
        "--rides", type=whole_number, default=0, metavar="N", help="ride the plan N times under bad luck"
    )
    parser.add_argument(
        "--seed", type=whole_number, default=1, metavar="N", help="seed for --rides (default 1)"
    )
    parser.add_argument(
        "--log", type=Path, metavar="FILE", help="plan with what this log of rides has taught"
    )
    parser.add_argument("--quiet", action="store_true", help="print nothing but errors")
    parser.add_argument("--json", action="store_true", help="print plan.json to standard output")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Plan, write, show; return 0, or 3 when a hard rule cannot be kept."""
    from terrain_fuel.inputs.pins import read_pins
    from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
    from terrain_fuel.mishaps import with_mishaps
    from terrain_fuel.outputs.data.plan_json import plan_text
    from terrain_fuel.outputs.folder import write_folder
    from terrain_fuel.outputs.terminal import show_plan
    from terrain_fuel.planner import plan_ride
    from terrain_fuel.simulate import ride_many, with_luck

    screen = Screen(quiet=chosen.quiet or chosen.json)
    _take_from_folder(chosen)
    rider, pantry, day = read_rider(chosen.rider), read_pantry(chosen.pantry), read_day(chosen.day)
    pins, drawn = read_pins(chosen.pins), print_choices(chosen)
    track, relief = read_chosen_route(chosen.route, chosen)
    learned: tuple[Fact, ...] = ()
    if chosen.log is not None:
        from terrain_fuel.learn.apply import learned_settings
        from terrain_fuel.log.rides import read_log

        rider, day, learned = learned_settings(track, rider, day, read_log(chosen.log))
    with screen.steps() as step:
        step("planning")
        plan = plan_ride(track, rider, pantry, day, relief=relief, pins=pins)
        plan = replace(plan, warnings=(*learned, *plan.warnings))
        if chosen.rides:
            step(f"riding it {chosen.rides} times")
            plan = with_luck(plan, ride_many(plan, chosen.rides, chosen.seed))
        step("planning for mishaps")
        plan = with_mishaps(plan)
        paths = write_folder(plan, chosen.out, drawn, on_file=lambda name: step(f"drawing {name}"))
    if chosen.json:
        screen.raw(plan_text(plan))
    show_plan(plan, paths, screen.console)
    return EXIT_RULE_BROKEN if plan.violations else EXIT_DONE


def _take_from_folder(chosen: argparse.Namespace) -> None:
    """Take what the options leave out from the ride's folder, where one is named."""
    if chosen.route.is_dir():
        from terrain_fuel.rides.ride_folder import ROUTE, SETTINGS, settings_path, tiles_folder

        folder: Path = chosen.route
        chosen.route = folder / ROUTE
        chosen.out = chosen.out or folder
        chosen.elevation = chosen.elevation or tiles_folder(folder)
        for name in SETTINGS:
            setattr(chosen, name, getattr(chosen, name) or settings_path(folder, name))
    if chosen.out is None:
        raise OutputError("--out: a route alone does not say where its outputs go; add --out FOLDER")
