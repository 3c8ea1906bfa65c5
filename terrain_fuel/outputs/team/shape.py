"""What a sheet of a team is made of, for paper and page alike: lines to mind and tables in words."""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class ShownTable:
    """A table in words; ``shares`` of the width by column, ``ticked`` rows have a box for a pen."""

    heading: str
    columns: tuple[str, ...]
    shares: tuple[float, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    ticked: bool = True


@dataclass(frozen=True, slots=True)
class ShownSheet:
    """One sheet: its title, what it is of, why not to ride, lines to mind, and its tables."""

    title: str
    over: str
    mind: tuple[str, ...]
    tables: tuple[ShownTable, ...]
    stops: tuple[str, ...] = ()


def without_empty(table: ShownTable) -> ShownTable:
    """Return a table without the columns that nothing stands in, the others as much wider."""
    used = [place for place in range(len(table.columns)) if any(row[place] for row in table.rows)]
    whole = sum(table.shares[place] for place in used)
    return replace(
        table,
        columns=tuple(table.columns[place] for place in used),
        shares=tuple(table.shares[place] / whole for place in used),
        rows=tuple(tuple(row[place] for place in used) for row in table.rows),
    )
