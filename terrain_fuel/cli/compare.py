"""`terrain-fuel compare`: what differs between two plans."""

import argparse

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_plan


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "compare", "say what differs between two written plans")
    for name in ("one", "other"):
        add_plan(parser, name)
    add_examples(parser, "terrain-fuel compare out/mine out/other")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the totals of both and what is eaten elsewhere, otherwise, no longer or newly."""
    from terrain_fuel.inputs.plan_file import as_written, read_plan_file
    from terrain_fuel.outputs.compare import differences, outline_of_file, totals_beside
    from terrain_fuel.outputs.words import words_in

    outlines, screen = [], Screen()
    for path in (chosen.one, chosen.other):
        plan = read_plan_file(path)
        with as_written(path.name):
            words = words_in(plan["rider"]["habits"])
            outlines.append(outline_of_file(plan))
    one, other = outlines
    lines = [words.label("compare.heading", one=one.name, other=other.name)]
    for name, before, after in totals_beside(one, other, words):
        lines.append(words.label("compare.total.row", name=name, before=before, after=after))
    for line in (*lines, *(differences(one, other, words) or (words.label("compare.same"),))):
        screen.console.print(line, markup=False)
    return EXIT_DONE
