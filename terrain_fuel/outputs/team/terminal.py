"""A team in the terminal: how many plans there are, which break a hard rule, where the files are."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path

from terrain_fuel.outputs.words import Words
from terrain_fuel.team.takings import Takings


def team_lines(
    takings: Sequence[Takings], anew: int, out: Path, written: Sequence[str], words: Words
) -> Iterator[str]:
    """Yield a team's lines, below those that say whom not to let ride.

    Parameters
    ----------
    takings : of the plans that were made, stage by stage
    anew : how many of them were planned now
    out : the folder of the team's outputs
    written : the sheets, the page and the tables; what lies within ``out`` is named by its place there
    words : of the team
    """
    count = len(takings)
    yield words.label("team.terminal.done", count=count, folder=str(out), anew=anew, before=count - anew)
    for stage, here in groupby(takings, key=lambda each: each.stage):
        plans = list(here)
        riders = tuple(each.rider for each in plans if each.unkept)
        if riders:
            yield words.label("team.terminal.broken", stage=stage, riders=riders, count=len(plans))
    names = tuple(
        Path(path).relative_to(out).as_posix() if _is_within(path, out) else path for path in written
    )
    yield words.label("terminal.written", folder=str(out), names=names)


def _is_within(path: str, out: Path) -> bool:
    return "://" not in path and Path(path).is_relative_to(out)
