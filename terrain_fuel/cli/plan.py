"""`terrain-fuel plan`: a route in, the five outputs of a plan out."""

import argparse
from dataclasses import replace
from datetime import UTC
from pathlib import Path
from typing import TYPE_CHECKING

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE, EXIT_RULE_BROKEN
from terrain_fuel.cli.mapped import add_places, with_chosen_map
from terrain_fuel.cli.options import (
    add_elevation,
    add_print,
    add_settings,
    assumed_files,
    folder_path,
    print_choices,
    read_chosen_route,
    whole_number,
    zone_of,
)
from terrain_fuel.collector import uncollected
from terrain_fuel.what_stands import is_file, is_folder

if TYPE_CHECKING:
    from collections.abc import Callable

    from terrain_fuel.day import Day
    from terrain_fuel.facts import Fact
    from terrain_fuel.plan import Plan
    from terrain_fuel.rider import Rider
    from terrain_fuel.track import Track


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(
        commands, "plan", "plan a ride and write map, sticker, sheet, waypoints and plan.json"
    )
    parser.add_argument(
        "route",
        type=Path,
        metavar="ROUTE|FOLDER",
        help="the planned route (GPX, TCX, FIT, KML or GeoJSON, also zipped), or a ride's folder",
    )
    parser.add_argument(
        "--out",
        type=folder_path,
        metavar="FOLDER",
        help="where the outputs go (default: the ride's folder, or out/ROUTE)",
    )
    parser.add_argument(
        "--replace",
        action="store_true",
        help="put the plan in the place of another ride's in that folder, or of files that no plan wrote",
    )
    add_settings(parser)
    add_elevation(parser)
    add_places(parser)
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
    add_examples(
        parser,
        "terrain-fuel plan mine.gpx",
        "terrain-fuel plan days.gpx --track 2 --out sunday --sticker card",
        "terrain-fuel plan mine.fit --rider rider.toml --day day.toml --rides 500 --also tcx fit",
    )
    parser.set_defaults(run=run)


@uncollected()
def run(chosen: argparse.Namespace) -> int:
    """Plan, write, show; return 0, or 3 when a hard rule cannot be kept."""
    from terrain_fuel.inputs.pins import read_pins
    from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
    from terrain_fuel.mishaps import with_mishaps
    from terrain_fuel.outputs.data.plan_json import plan_text
    from terrain_fuel.outputs.folder import write_folder
    from terrain_fuel.planner import plan_ride

    screen = Screen(quiet=chosen.quiet or chosen.json)
    _take_from_folder(chosen)
    rider, pantry = read_rider(chosen.rider), read_pantry(chosen.pantry)
    pins, drawn = read_pins(chosen.pins), print_choices(chosen)
    taught = _taught(chosen.log)
    read_day(chosen.day, UTC)  # what is wrong with it is told before the route is read
    track, relief = read_chosen_route(chosen.route, chosen)
    day = read_day(chosen.day, zone_of(track))
    track = with_chosen_map(track, relief, day, chosen)
    rider, day, learned = taught(track, rider, day)

    def planned_on(day: "Day") -> "Plan":
        plan = plan_ride(track, rider, pantry, day, relief=relief, pins=pins)
        return replace(plan, warnings=(*learned, *plan.warnings))

    with screen.steps() as step:
        step("planning")
        plan = planned_on(day)
        if chosen.rides:
            from terrain_fuel.mishaps.dry_spells import ride_under_luck

            step(f"riding it {chosen.rides} times")
            plan = ride_under_luck(plan, planned_on, chosen.rides, chosen.seed)
        step("planning for mishaps")
        plan = with_mishaps(plan)
        paths = write_folder(
            plan,
            chosen.out,
            drawn,
            on_file=lambda name: step(f"drawing {name}"),
            replace=chosen.replace,
        )
    if chosen.json:
        screen.json(plan_text(plan))
    if not screen.quiet:
        from terrain_fuel.outputs.terminal import show_plan

        show_plan(plan, paths, screen.console, assumed=assumed_files(chosen))
    return EXIT_RULE_BROKEN if plan.violations else EXIT_DONE


def _take_from_folder(chosen: argparse.Namespace) -> None:
    """Take what the options leave out from the ride's folder, where one is named."""
    from terrain_fuel.inputs.unpacking import file_stem

    if is_folder(chosen.route):
        from terrain_fuel.rides.ride_folder import (
            PLACES,
            SETTINGS,
            kept_track,
            route_path,
            settings_path,
            tiles_folder,
        )

        folder: Path = chosen.route
        chosen.route = route_path(folder)
        chosen.replace = chosen.replace or chosen.out is None
        chosen.out = chosen.out or folder
        chosen.elevation = chosen.elevation or tiles_folder(folder)
        chosen.brought_map = folder / PLACES if is_file(folder / PLACES) else None
        chosen.track = chosen.track or kept_track(folder)
        for name in SETTINGS:
            setattr(chosen, name, getattr(chosen, name) or settings_path(folder, name))
    if chosen.out is None:
        chosen.out = Path("out") / file_stem(chosen.route.name)


def _taught(log: "Path | None") -> "Callable[[Track, Rider, Day], tuple[Rider, Day, tuple[Fact, ...]]]":
    """Return how a log changes the settings for a road; without one they stay, and nothing is loaded."""
    if log is None:
        return lambda track, rider, day: (rider, day, ())
    from terrain_fuel.learn.apply import learned_settings
    from terrain_fuel.log.rides import read_log

    rides = read_log(log)
    return lambda track, rider, day: learned_settings(track, rider, day, rides)
