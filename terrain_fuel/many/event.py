"""An event over a cluster: a block of riders a task, each kept, so that only what changed is ridden again."""

import io
import zipfile
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np
from distributed import Client

from terrain_fuel.errors import EngineError
from terrain_fuel.event.held import Counted, Run, blocks_of, count_run
from terrain_fuel.event.ride import Block, Passage, ride_block
from terrain_fuel.event.road import Course
from terrain_fuel.event.settings import Event
from terrain_fuel.many.kept import Kept
from terrain_fuel.many.run import SetAside, Shared, Task, run_tasks
from terrain_fuel.many.work_key import work_key

COLUMNS = ("moving_s", "sweat_ml", "wish_ml", "eat_g_per_s")


def hold_event(
    client: Client,
    event: Event,
    course: Course,
    kept: Kept,
    on_block: Callable[[int, int], None] = lambda done, of: None,
) -> tuple[Counted, ...]:
    """Return the whole event, its riders ridden on a cluster's workers.

    Parameters
    ----------
    client, kept : of `open_cluster`, and where ridden blocks are kept
    event, course : what is held, and where
    on_block : called with how many blocks are done, and of how many

    Raises
    ------
    EngineError
        If the cluster is lost, or riders cannot be ridden; what is done is kept.
    OutputError
        If what is done cannot be kept.
    """
    blocks = blocks_of(event)
    road = _without_relief(course)
    shared = {"event": Shared(_as_it_is, (event, road))}
    tasks = [Task(_name(block), _key(event, road, block), block, "event") for block in blocks]
    kept.keep_only(task.key for task in tasks)
    waiting: dict[Run, dict[int, Passage]] = {}
    counted: list[Counted] = []
    whole = partial(_is_whole, len(course.leg_of_place))
    ended_tasks = run_tasks(client, _ride, tasks, kept, shared=shared, is_whole=whole)
    for done, ended in enumerate(ended_tasks, start=1):
        if isinstance(ended, SetAside):
            raise EngineError(
                f"{ended.task.name}: cannot be ridden ({ended.why}); what is done is kept; run the same"
                " command again to go on"
            )
        block: Block = ended.task.payload
        run = Run(block.scenario, block.day)
        ridden = waiting.setdefault(run, {})
        ridden[block.first] = _unpacked(ended.kept)
        if sum(each.eat_g_per_s.size for each in ridden.values()) == event.day.riders:
            passages = [ridden[first] for first in sorted(ridden)]
            counted.extend(count_run(event, course, run, passages))
            del waiting[run]
        on_block(done, len(tasks))
    return tuple(counted)


def _ride(block: Block, shared: tuple[Event, Course]) -> bytes:
    return _packed(ride_block(*shared, block))


def _as_it_is(shared: Any) -> Any:
    return shared


def _without_relief(course: Course) -> Course:
    """Return the course as workers need it: the heights around the road stay here."""
    return replace(course, terrain=replace(course.terrain, relief=None))


def _name(block: Block) -> str:
    last = block.first + len(block.start_s)
    return f"riders {block.first + 1} to {last}, scenario {block.scenario + 1}, day {block.day + 1}"


def _key(event: Event, course: Course, block: Block) -> str:
    """Return the block's key, by all that it depends on and no more: not by taps, stock or names."""
    profile = course.terrain.profile
    scenario = event.scenarios[block.scenario]
    weather = (
        scenario.temperature_c, scenario.humidity_pct, scenario.wind_m_s, scenario.wind_from_deg,
        scenario.surface_wet,
    )  # fmt: skip
    return work_key(
        "event", event.field, event.correlations, event.day.seed, len(event.feeds), weather,
        profile.distance_m, profile.elevation_m, profile.heading_deg, profile.radius_m,
        tuple((each.kind, each.start_m, each.end_m) for each in course.terrain.stretches),
        course.terrain.track.mapped, course.ends, course.leg_of_place, course.sun_deg,
        block.day, block.first, np.array(block.start_s),
    )  # fmt: skip


def _packed(passage: Passage) -> bytes:
    held = io.BytesIO()
    np.savez(held, **{name: getattr(passage, name) for name in COLUMNS})
    return held.getvalue()


def _is_whole(places: int, task: Task, content: bytes) -> bool:
    """Return whether what an earlier run kept of a block is what riding it gives: its columns, all finite."""
    block: Block = task.payload
    riders = len(block.start_s)
    shapes = dict.fromkeys(COLUMNS, (riders, places)) | {"eat_g_per_s": (riders,)}
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if sum(entry.file_size for entry in archive.infolist()) > len(content):
                return False  # ours are not compressed: what grows is no block
        passage = _unpacked(content)
    except (OSError, ValueError, KeyError, EOFError, MemoryError, zipfile.BadZipFile, NotImplementedError):
        return False
    columns = {name: getattr(passage, name) for name in COLUMNS}
    return all(
        column.shape == shapes[name] and column.dtype == np.float64 and bool(np.isfinite(column).all())
        for name, column in columns.items()
    )


def _unpacked(content: bytes) -> Passage:
    with np.load(io.BytesIO(content), allow_pickle=False) as held:
        return Passage(**{name: held[name] for name in COLUMNS})
