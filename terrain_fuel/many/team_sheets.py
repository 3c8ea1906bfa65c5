"""What comes of all plans of a team together: the sheets, the page, and the tables."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from terrain_fuel.many.tables import write_tables
from terrain_fuel.outputs.generation import generation_in
from terrain_fuel.outputs.team.page import write_team_page
from terrain_fuel.outputs.team.paper import write_team_sheets
from terrain_fuel.outputs.team.shown import Undone, team_sheets
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Rider
from terrain_fuel.team.model import Team
from terrain_fuel.team.sums import Sums, add_up
from terrain_fuel.team.takings import Takings

PAPER, PAGE, TABLES = "team.pdf", "team.html", "tables"


@dataclass(frozen=True, slots=True)
class Written:
    """What was written, and whom not to let ride on which stage, in the words of the sheets' head."""

    names: tuple[str, ...]
    stops: tuple[str, ...]


def write_team(
    team: Team,
    found: Mapping[tuple[str, str], Takings],
    undone: Sequence[Undone],
    folders: Mapping[tuple[str, str], Path],
    out: Path,
    *,
    paper: str = "A4",
    tables: str = "",
) -> Written:
    """Write the team's sheets, page and tables, and return what was written.

    Parameters
    ----------
    team : of its file
    found : what each plan takes, by rider and stage
    undone : plans that could not be made
    folders : where each plan stands
    out : the folder of the team's outputs
    paper : "A4" or "Letter"
    tables : where the Parquet files go, "" for a folder within ``out``

    Raises
    ------
    OutputError
        If something cannot be written; sheets and page are written both or neither.
    """
    names = [(start.name, stage.name) for stage in team.stages for start in stage.starts]
    takings = [found[name] for name in names if name in found]
    sums, words = add_up(takings, team.kitchens), words_for(Rider(habits=team.habits))
    sheets = team_sheets(sums, takings, undone, words)
    links = [
        (f"{rider}, {stage}", quote(str((folders[rider, stage] / "map.html").relative_to(out))))
        for rider, stage in names
        if (folders[rider, stage] / "map.html").exists()
    ]
    with generation_in(out, (PAPER, PAGE)) as aside:
        write_team_sheets(sheets, team.name, words, aside / PAPER, paper=paper)
        write_team_page(sheets, team.name, words, aside / PAGE, links)
    written = write_tables(tables or str(out / TABLES), team_columns(sums, takings))
    return Written((str(out / PAPER), str(out / PAGE), *written), sheets[0].stops)


def team_columns(sums: Sums, takings: Sequence[Takings]) -> dict[str, dict[str, list[Any]]]:
    """Return the team's tables as columns, numbers as numbers, a row a line of the sheets and finer."""
    return {
        "plans": {
            **_columns(
                takings, "rider", "stage", "kitchen", "route", "date", "start", "length_m", "elapsed_s"
            ),
            "rules_not_kept": [len(each.broken) for each in takings],
        },
        "shopping": _columns(sums.shopping, "kitchen", "item", "is_powder", "needed", "stock", "short"),
        "shares": {
            key: [row[place] for row in _share_rows(sums)]
            for place, key in enumerate(
                (
                    "stage",
                    "kitchen",
                    "item",
                    "form",
                    "cut_into",
                    "powder_g",
                    "feed",
                    "rider",
                    "pieces",
                    "spare",
                )
            )
        },
        "bottles": _columns(
            sums.bottles,
            "stage",
            "kitchen",
            "number",
            "rider",
            "container",
            "item",
            "fluid_ml",
            "powder_g",
            "frozen_ml",
            "feed",
            "at_m",
        ),
        "handed_up": {
            **_columns(
                sums.handings, "stage", "feed", "at_m", "rider", "early", "late", "about", "back", "left_ml"
            ),
            "bottles": [[bottle.number for bottle in each.bottles] for each in sums.handings],
            "food": [[f"{given.pieces} {given.item}" for given in each.food] for each in sums.handings],
        },
    }


def _columns(rows: Sequence[Any], *keys: str) -> dict[str, list[Any]]:
    return {key: [getattr(row, key) for row in rows] for key in keys}


def _share_rows(sums: Sums) -> list[tuple[Any, ...]]:
    return [
        (
            each.stage,
            each.kitchen,
            each.item,
            each.form,
            each.cut_into,
            each.powder_g,
            each.feed,
            rider,
            pieces,
            spare,
        )
        for each in sums.kitchen
        for rider, pieces, spare in each.shares
    ]
