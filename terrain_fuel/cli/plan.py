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

if TYPE_CHECKING:
    from collections.abc import Callable

    from terrain_fuel.day import Day
    from terrain_fuel.facts import Fact
    from terrain_fuel.rider import Rider
    from terrain_fuel.track import Track


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = commands.add_parser(
        "plan", help="plan a ride and write map, sticker, sheet, waypoints and plan.json"
    )
    add_route(parser)
    parser.add_argument("--out", type=Path, required=True, metavar="FOLDER", help="where the outputs go")
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
    rider, pantry, day = read_rider(chosen.rider), read_pantry(chosen.pantry), read_day(chosen.day)
    pins, drawn = read_pins(chosen.pins), print_choices(chosen)
    taught = _taught(chosen.log)
    track, relief = read_chosen_route(chosen.route, chosen)
    rider, day, learned = taught(track, rider, day)
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


def _taught(log: "Path | None") -> "Callable[[Track, Rider, Day], tuple[Rider, Day, tuple[Fact, ...]]]":
    """Return how a log changes the settings for a road; without one they stay, and nothing is loaded."""
    if log is None:
        return lambda track, rider, day: (rider, day, ())
    from terrain_fuel.learn.apply import learned_settings
    from terrain_fuel.log.rides import read_log

    rides = read_log(log)
    return lambda track, rider, day: learned_settings(track, rider, day, rides)
