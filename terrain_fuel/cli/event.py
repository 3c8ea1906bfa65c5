"""`terrain-fuel event`: a field of riders over a route, and what the feeds need when."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_elevation, folder_path, read_chosen_route, zone_of
from terrain_fuel.cli.team import add_engine

if TYPE_CHECKING:
    from collections.abc import Callable

    from terrain_fuel.event.held import Counted
    from terrain_fuel.event.road import Course
    from terrain_fuel.event.settings import Event


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(
        commands, "event", "ride a whole field over a route: what feeds need, when, and who waits"
    )
    parser.add_argument(
        "event", type=Path, metavar="EVENT.toml", help="field, weather, waves, feeds, variants"
    )
    parser.add_argument(
        "--out", type=folder_path, metavar="FOLDER", help="where the outputs go (default: out/EVENT)"
    )
    add_engine(parser)
    parser.add_argument("--paper", default="A4", metavar="A4|Letter", help="paper of the sheets (default A4)")
    add_elevation(parser)
    parser.add_argument("--quiet", action="store_true", help="print nothing but errors")
    add_examples(
        parser,
        "terrain-fuel event event.toml --out sunday",
        "terrain-fuel event event.toml --workers 1",
        "terrain-fuel event event.toml --scheduler tcp://10.0.0.5:8786 --tables s3://bucket/sunday",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Read, ride, count, write, show."""
    from terrain_fuel.event.road import lay_course
    from terrain_fuel.event.told import tell_event
    from terrain_fuel.inputs.event_file import day_of, named_by, read_event
    from terrain_fuel.outputs.event.folder import write_event_folder
    from terrain_fuel.outputs.event.tables import event_tables
    from terrain_fuel.outputs.event.terminal import show_event
    from terrain_fuel.outputs.printed.paper import paper_mm
    from terrain_fuel.terrain.measure import measure_terrain

    paper_mm(chosen.paper)
    hold = _holder(chosen)
    event = read_event(chosen.event)
    track, relief = read_chosen_route(chosen.event.parent / event.day.route, chosen)
    zone = zone_of(track)
    with named_by(chosen.event):
        course = lay_course(measure_terrain(track, relief), event, day_of(event, zone), zone)
    folder: Path = chosen.out or Path("out") / chosen.event.stem
    screen = Screen(quiet=chosen.quiet)
    with screen.steps() as step:
        counted = hold(event, course, folder, step)
        told = tell_event(event, course, counted)
        paths = write_event_folder(told, folder, chosen.paper, lambda name: step(f"drawing {name}"))
        if chosen.tables or not _alone(chosen):
            from terrain_fuel.many.tables import write_tables

            where = chosen.tables or str(folder / "tables")
            paths += tuple(Path(path) for path in write_tables(where, event_tables(told)))
    show_event(told, paths, screen.console)
    return EXIT_DONE


def _holder(
    chosen: argparse.Namespace,
) -> "Callable[[Event, Course, Path, Callable[[str], None]], tuple[Counted, ...]]":
    """Return how the riders are ridden: alone, for which no package is wanting, or over a cluster."""
    if chosen.tables or not _alone(chosen):
        from terrain_fuel.many.extra import refuse_without_extra

        refuse_without_extra("event")
    return _hold_alone if _alone(chosen) else lambda *what: _hold_together(chosen, *what)


def _alone(chosen: argparse.Namespace) -> bool:
    return chosen.workers == 1 and not chosen.scheduler


def _hold_alone(
    event: "Event", course: "Course", folder: Path, step: "Callable[[str], None]"
) -> "tuple[Counted, ...]":
    from terrain_fuel.event.held import hold_here

    return hold_here(event, course, lambda done, of: step(f"riding: block {done} of {of}"))


def _hold_together(
    chosen: argparse.Namespace, event: "Event", course: "Course", folder: Path, step: "Callable[[str], None]"
) -> "tuple[Counted, ...]":
    from terrain_fuel.many.cluster import open_cluster
    from terrain_fuel.many.event import hold_event
    from terrain_fuel.many.kept import Kept, only_run

    with only_run(folder), open_cluster(chosen.scheduler, chosen.workers) as client:
        kept = Kept.within(folder)
        return hold_event(client, event, course, kept, lambda done, of: step(f"riding: block {done} of {of}"))
