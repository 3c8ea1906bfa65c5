"""An event over real processes: the numbers of one process, kept, and ridden again only where it must be."""

import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from terrain_fuel.event.held import hold_here
from terrain_fuel.event.settings import Event
from terrain_fuel.event.told import tell_event
from terrain_fuel.many.cluster import open_cluster
from terrain_fuel.many.event import hold_event
from terrain_fuel.many.kept import Kept
from terrain_fuel.outputs.event.tables import event_tables
from tests.event.small_event import course_of, small_event


def modified(kept: Kept) -> dict[str, int]:
    return {path.name: path.stat().st_mtime_ns for path in kept.folder.iterdir()}


def damage(kept: Kept) -> None:
    """Make of each kept block something else: a pipe, nothing, columns of another shape, one that expands."""
    pipe, empty, other, dense = sorted(kept.folder.iterdir())
    pipe.unlink()
    os.mkfifo(pipe)
    empty.write_bytes(b"")
    columns = dict.fromkeys(("moving_s", "sweat_ml", "wish_ml", "eat_g_per_s"), np.zeros((2, 2)))
    with other.open("wb") as file:
        np.savez(file, allow_pickle=False, **columns)
    with dense.open("wb") as file:
        np.savez_compressed(file, allow_pickle=False, moving_s=np.zeros((3000, 3000)))


@pytest.mark.slow
def test_processes_give_the_numbers_of_one_and_ride_nothing_twice(tmp_path: Path) -> None:
    event = small_event()
    course = course_of(event)
    alone = event_tables(tell_event(event, course, hold_here(event, course)))
    kept = Kept.within(tmp_path)

    def held(changed: Event) -> object:
        return event_tables(tell_event(changed, course, hold_event(client, changed, course, kept)))

    with open_cluster(workers=2) as client:
        assert held(event) == alone
        first = modified(kept)
        assert len(first) == 4
        more_taps = replace(event, feeds=(replace(event.feeds[0], taps=9), event.feeds[1]))
        assert held(more_taps) != alone
        assert modified(kept) == first
        hotter = replace(
            event, scenarios=(event.scenarios[0], replace(event.scenarios[1], humidity_pct=70.0))
        )
        assert held(hotter) != alone
        again = modified(kept)
        assert len(set(again.items()) & set(first.items())) == 2
        damage(kept)
        assert held(hotter) == held(hotter)
        assert all(path.is_file() for path in kept.folder.iterdir())
