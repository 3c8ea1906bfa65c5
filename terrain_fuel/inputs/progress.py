"""The bar that shows a tile on its way, on standard error."""

from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, DownloadColumn, Progress, TaskID, TextColumn

from terrain_fuel.inputs.download import Progress as Report


@contextmanager
def download_bar(console: Console | None = None) -> Iterator[Report]:
    """Yield what to pass as ``progress``: it draws one bar for each tile.

    Parameters
    ----------
    console : where to draw; None is standard error, where nothing is drawn if it is no terminal
    """
    console = console or Console(stderr=True, emoji=False)
    columns = TextColumn("{task.description}"), BarColumn(), DownloadColumn()
    tasks: dict[str, TaskID] = {}
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:

        def report(name: str, done: int, total: int | None) -> None:
            if name not in tasks:
                tasks[name] = bar.add_task(f"tile {name.removesuffix('.hgt')}", total=total)
            bar.update(tasks[name], completed=done)

        yield report
