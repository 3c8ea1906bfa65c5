"""`terrain-fuel terrain`: look at a route before planning, its stretches and its profile."""

import argparse
from datetime import UTC
from pathlib import Path

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.mapped import add_places, with_chosen_map
from terrain_fuel.cli.options import (
    add_elevation,
    add_route,
    add_settings,
    read_chosen_route,
    refuse_other_suffix,
    zone_of,
)


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "terrain", "show a route's climbs, descents, bends and cautions")
    add_route(parser)
    parser.add_argument("--picture", type=Path, metavar="FILE.svg", help="write the profile as a drawing")
    add_settings(parser, "rider", "day")
    add_elevation(parser)
    add_places(parser)
    add_examples(parser, "terrain-fuel terrain mine.gpx --picture profile.svg")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Measure, show and, when asked, draw."""
    from terrain_fuel.assembly.from_the_map import map_notice
    from terrain_fuel.flags.find import find_cautions
    from terrain_fuel.inputs.settings import read_day, read_rider
    from terrain_fuel.outputs.drawing.profile import draw_terrain_profile
    from terrain_fuel.outputs.terminal import show_terrain
    from terrain_fuel.outputs.writing import write_text
    from terrain_fuel.pace.ride import set_pace
    from terrain_fuel.terrain.measure import measure_terrain

    if chosen.picture:
        refuse_other_suffix(chosen.picture, ".svg", "--picture")
    rider = read_rider(chosen.rider)
    read_day(chosen.day, UTC)  # what is wrong with it is told before the route is read
    track, relief = read_chosen_route(chosen.route, chosen)
    day = read_day(chosen.day, zone_of(track))
    track = with_chosen_map(track, relief, day, chosen)
    terrain = measure_terrain(track, relief)
    cautions = find_cautions(set_pace(terrain, rider, day), rider, day)
    screen = Screen()
    if chosen.picture:
        write_text(chosen.picture, draw_terrain_profile(terrain, cautions, rider))
    notices = () if terrain.track.mapped is None else (map_notice(terrain.track.mapped, day),)
    show_terrain(terrain, cautions, rider, screen.console, notices)
    return EXIT_DONE
