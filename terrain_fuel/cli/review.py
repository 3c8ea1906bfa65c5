"""`terrain-fuel review`: a recording looked back on, beside its plan, and kept in the log."""

import argparse
from pathlib import Path

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import (
    BYTES_IN_MB,
    add_log,
    add_settings,
    folder_path,
    whole_number,
    written_plan,
)


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "review", "look back on a recorded ride, beside its plan")
    parser.add_argument(
        "recording", type=Path, nargs="+", metavar="RECORDING",
        help="FIT, TCX or GPX; two of one ride are joined",
    )  # fmt: skip
    parser.add_argument(
        "--plan",
        type=written_plan,
        metavar="PLAN",
        help="the plan it was ridden by, or the folder that holds it",
    )
    parser.add_argument(
        "--after", type=Path, metavar="AFTER.toml", help='the form "After the ride", filled in'
    )
    parser.add_argument(
        "--out", type=folder_path, required=True, metavar="FOLDER", help="where the review goes"
    )
    add_settings(parser)
    add_log(parser)
    parser.add_argument("--no-log", action="store_true", help="keep nothing of it in the log")
    parser.add_argument(
        "--largest-mb",
        type=whole_number,
        default=64,
        metavar="MB",
        help="largest recording read (default 64)",
    )
    parser.add_argument("--quiet", action="store_true", help="print nothing but errors")
    parser.add_argument("--json", action="store_true", help="print review.json to standard output")
    add_examples(
        parser,
        "terrain-fuel review ride.fit --plan out/mine --out review",
        "terrain-fuel review ride.fit --plan out/mine --after after.toml --out review",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Read, compare, write and keep; what happened is printed."""
    from terrain_fuel.inputs.after_file import read_after
    from terrain_fuel.inputs.planned import read_planned
    from terrain_fuel.inputs.recordings.read import read_recordings
    from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
    from terrain_fuel.log.database import log_file
    from terrain_fuel.log.entry import entry_of
    from terrain_fuel.log.rides import keep_ride
    from terrain_fuel.outputs.after.review_page import Beside
    from terrain_fuel.outputs.data.review_json import review_text
    from terrain_fuel.outputs.review_folder import NAMES, review_in
    from terrain_fuel.outputs.terminal_after import show_review
    from terrain_fuel.outputs.words import words_for
    from terrain_fuel.review.look_back import Settings, review_ride

    screen = Screen(quiet=chosen.quiet or chosen.json)
    settings = Settings(read_rider(chosen.rider), read_pantry(chosen.pantry), read_day(chosen.day))
    planned = read_planned(chosen.plan) if chosen.plan is not None else None
    if planned is not None:
        settings = Settings(planned.rider, planned.pantry, planned.day)
    after = read_after(chosen.after, settings.pantry)
    with screen.steps() as step:
        step("reading the recording")
        recorded = read_recordings(chosen.recording, chosen.largest_mb * BYTES_IN_MB)
        step("looking back")
        review = review_ride(recorded, settings, planned, after)
        beside = Beside(settings.rider, planned, after)
        written = review_in(chosen.out, review, beside)
        if chosen.no_log:
            with written:
                pass
        else:
            step("keeping it in the log")
            entry = entry_of(review, settings.rider, settings.day, planned)
            keep_ride(log_file(chosen.log), entry, written)
    if chosen.json:
        screen.json(review_text(review, words_for(settings.rider)))
    paths = [chosen.out / name for name in NAMES]
    show_review(review, words_for(settings.rider), paths, screen.console)
    return EXIT_DONE
