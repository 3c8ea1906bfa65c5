"""`terrain-fuel team`: every rider's plan of every stage, and the team's sheets."""

import argparse
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE, EXIT_PARTLY, EXIT_RULE_BROKEN
from terrain_fuel.cli.options import add_print, folder_path, print_choices, whole_number, zone_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from terrain_fuel.many.run import Finished, SetAside
    from terrain_fuel.team.model import Team


MOST_PROCESSES = 1000
"""More than one machine bears."""


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "team", "plan every rider's stages and write the team's sheets")
    parser.add_argument("team", type=Path, metavar="TEAM.toml", help="riders, bicycles, kitchens and stages")
    parser.add_argument(
        "--out",
        type=folder_path,
        metavar="FOLDER",
        help="where the outputs go, a folder for each rider within (default: out/TEAM)",
    )
    parser.add_argument(
        "--plans-only",
        action="store_true",
        help="of each ride plan.json and its settings alone: no drawings, no card for mishaps",
    )
    add_engine(parser)
    add_print(parser)
    parser.add_argument("--quiet", action="store_true", help="print nothing but errors")
    add_examples(
        parser,
        "terrain-fuel team team.toml",
        "terrain-fuel team team.toml --plans-only --workers 4",
        "terrain-fuel team team.toml --scheduler tcp://10.0.0.5:8786 --tables s3://kitchen/june",
    )
    parser.set_defaults(run=run)


def add_engine(parser: argparse.ArgumentParser) -> None:
    """Add where many plans are made, and where their tables go."""
    parser.add_argument(
        "--scheduler", metavar="ADDRESS", help="work on this running Dask cluster (default: this machine)"
    )
    parser.add_argument(
        "--workers",
        type=partial(whole_number, least=1, most=MOST_PROCESSES),
        metavar="N",
        help="processes on this machine (default: one a core)",
    )
    parser.add_argument(
        "--tables",
        default="",
        metavar="WHERE",
        help="folder or address for the Parquet tables (default: tables, beside the sheets)",
    )


def run(chosen: argparse.Namespace) -> int:
    """Plan all, write the sheets; return 0, 3 if a plan cannot be kept or ridden, 4 if plans are missing."""
    from terrain_fuel.many.extra import refuse_without_extra

    refuse_without_extra("team")
    from terrain_fuel.inputs.team_file import read_team
    from terrain_fuel.many.kept import only_run
    from terrain_fuel.many.run import Finished, SetAside
    from terrain_fuel.many.team_run import folder_names, takings_kept
    from terrain_fuel.many.team_sheets import write_team
    from terrain_fuel.outputs.team.shown import Undone
    from terrain_fuel.outputs.team.terminal import team_lines
    from terrain_fuel.outputs.words import words_for
    from terrain_fuel.rider import Rider
    from terrain_fuel.team.clashes import find_clashes

    screen, drawn = Screen(quiet=chosen.quiet), print_choices(chosen)
    team = read_team(chosen.team)
    out: Path = chosen.out or Path("out") / chosen.team.stem
    folders = folder_names(team, out)
    with only_run(out):
        outcomes = _planned(team, out, chosen, screen)
        done = [each for each in outcomes if isinstance(each, Finished)]
        aside = [each for each in outcomes if isinstance(each, SetAside)]
        found = {(each.rider, each.stage): each for each in map(takings_kept, done)}
        undone = [Undone(each.task.name, each.why) for each in aside]
        written = write_team(team, found, undone, folders, out, paper=drawn.paper, tables=chosen.tables)
    words = words_for(Rider(habits=team.habits))
    for stop in written.stops:
        screen.console.print(stop, markup=False, style="bold red")
    anew = sum(each.anew for each in done)
    ridden = [(start.name, stage.name) for stage in team.stages for start in stage.starts]
    takings = [found[name] for name in ridden if name in found]
    for line in team_lines(takings, anew, out, written.names, words):
        screen.console.print(line, markup=False)
    for why in dict.fromkeys(each.why for each in aside):
        names = [each.task.name for each in aside if each.why == why]
        more = f" and {len(names) - 1} more" if len(names) > 1 else ""
        print(f"not planned: {names[0]}{more}: {why}", file=sys.stderr)  # noqa: T201
    if aside:
        return EXIT_PARTLY
    is_kept = not (any(each.broken for each in takings) or find_clashes(takings))
    return EXIT_DONE if is_kept else EXIT_RULE_BROKEN


def _planned(
    team: "Team", out: Path, chosen: argparse.Namespace, screen: Screen
) -> "Sequence[Finished | SetAside]":
    from terrain_fuel.inputs.route import read_route
    from terrain_fuel.many.cluster import open_cluster
    from terrain_fuel.many.team_run import plan_team

    with screen.steps() as step:
        step("starting the workers")
        with open_cluster(chosen.scheduler, chosen.workers) as client:
            return list(
                plan_team(
                    client,
                    team,
                    out,
                    None if chosen.plans_only else print_choices(chosen),
                    lambda path, track: read_route(path, team.elevation, track=track),
                    zone_of,
                    lambda done, total, name: step(f"{done} of {total} plans; {name}"),
                )
            )
