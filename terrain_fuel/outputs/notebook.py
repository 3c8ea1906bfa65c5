"""A plan as it shows itself in a notebook, and as columns for reckoning on."""

from html import escape
from typing import Any

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.data.table import COLUMNS, row_values
from terrain_fuel.outputs.map.map_page import map_page
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.plan import Plan

FRAME_HEIGHT_PX = 720


def plan_html(plan: Plan) -> str:
    """Return the map page in a frame of its own: it asks for no network and reaches nothing around it."""
    page = escape(map_page(plan), quote=True)
    return (
        f'<iframe srcdoc="{page}" sandbox="allow-scripts" title="{escape(plan.title, quote=True)}"'
        f' style="width: 100%; height: {FRAME_HEIGHT_PX}px; border: 1px solid"></iframe>'
    )


def plan_arrays(plan: Plan, of: str = "rows") -> dict[str, NDArray[Any]]:
    """Return columns of equal length.

    Parameters
    ----------
    plan : the finished plan
    of : "rows", what is done where, or "timeline", the ride about every 100 m

    Raises
    ------
    OutputError
        If it is neither.
    """
    if of == "timeline":
        return {name: getattr(plan.timeline, name) for name in plan.timeline.__dataclass_fields__}
    if of != "rows":
        raise OutputError(f"of: a plan has no {of!r}; allowed are rows and timeline; correct it")
    rows = [row_values(plan, row, point) for row in plan_rows(plan) for point in row.points or (None,)]
    return {name: _column([row[name] for row in rows]) for name in COLUMNS}


def plan_frame(plan: Plan, of: str = "rows") -> Any:
    """Return the same as a pandas DataFrame.

    Raises
    ------
    OutputError
        If pandas is not installed.
    """
    columns = plan_arrays(plan, of)
    try:
        import pandas
    except ImportError:
        raise OutputError(
            "to_frame: pandas is not installed; install it with pip install pandas, or take to_arrays()"
        ) from None
    return pandas.DataFrame(columns)


def _column(values: list[Any]) -> NDArray[Any]:
    """Return texts as objects and numbers as floats, NaN where there is none."""
    if any(isinstance(value, str) for value in values):
        return np.array(["" if value is None else value for value in values], dtype=object)
    return np.array([np.nan if value is None else float(value) for value in values])
