"""The event held: its work cut into blocks of riders, the days put together and counted."""

from collections.abc import Callable
from dataclasses import dataclass

from terrain_fuel.event.arrangement import Arrangement, arrangements
from terrain_fuel.event.day_count import DayCount, count_day
from terrain_fuel.event.handing import hold_day
from terrain_fuel.event.ride import Block, Passage, join_blocks, ride_block
from terrain_fuel.event.riders import Riders, draw_riders
from terrain_fuel.event.road import Course
from terrain_fuel.event.settings import Event
from terrain_fuel.event.spreads import mixing_matrix, with_usual
from terrain_fuel.event.start import start_times_s
from terrain_fuel.frozen import FloatArray

BLOCK_RIDERS = 1000
"""Riders ridden at once: enough that numpy's own time outweighs Python's, few enough for a small worker."""


@dataclass(frozen=True, slots=True)
class Run:
    """One scenario on one of the drawn days."""

    scenario: int
    day: int


@dataclass(frozen=True, slots=True, eq=False)
class Counted:
    """One run of one arrangement, counted."""

    run: Run
    arrangement: int
    count: DayCount


def runs_of(event: Event) -> tuple[Run, ...]:
    """Return every scenario on every drawn day."""
    return tuple(
        Run(scenario, day) for scenario in range(len(event.scenarios)) for day in range(event.day.seeds)
    )


def riders_of(event: Event, day: int) -> Riders:
    """Return all riders of a drawn day."""
    mixing = mixing_matrix(with_usual(event.correlations))
    return draw_riders(event.field, mixing, len(event.feeds), (event.day.seed, day), 0, event.day.riders)


def blocks_of(event: Event, block_riders: int = BLOCK_RIDERS) -> tuple[Block, ...]:
    """Return the work of an event in blocks, those of a run in a row and in the order of its riders.

    Parameters
    ----------
    event : what is held
    block_riders : how many riders to a block; no result depends on it
    """
    meant = arrangements(event)[0]
    starts = [_start_s(event, meant, riders_of(event, day)) for day in range(event.day.seeds)]
    return tuple(
        Block(run.scenario, run.day, first, tuple(starts[run.day][first : first + block_riders].tolist()))
        for run in runs_of(event)
        for first in range(0, event.day.riders, block_riders)
    )


def count_run(event: Event, course: Course, run: Run, passages: list[Passage]) -> tuple[Counted, ...]:
    """Return one run counted under every arrangement, from its blocks in the order of their riders."""
    riders, passage = riders_of(event, run.day), join_blocks(passages)
    counted = []
    for number, arranged in enumerate(arrangements(event)):
        start_s = _start_s(event, arranged, riders)
        held = hold_day(course, riders, passage, start_s, arranged, event.pieces)
        count = count_day(course, riders, start_s, held, arranged, event.pieces)
        counted.append(Counted(run, number, count))
    return tuple(counted)


def hold_here(
    event: Event, course: Course, on_block: Callable[[int, int], None] = lambda done, of: None
) -> tuple[Counted, ...]:
    """Return the whole event, worked out in this process."""
    blocks = blocks_of(event)
    counted: list[Counted] = []
    waiting: dict[tuple[int, int], list[Passage]] = {}
    for number, block in enumerate(blocks):
        so_far = waiting.setdefault((block.scenario, block.day), [])
        so_far.append(ride_block(event, course, block))
        if sum(each.eat_g_per_s.size for each in so_far) == event.day.riders:
            run = Run(block.scenario, block.day)
            counted.extend(count_run(event, course, run, waiting.pop((run.scenario, run.day))))
        on_block(number + 1, len(blocks))
    return tuple(counted)


def _start_s(event: Event, arranged: Arrangement, riders: Riders) -> FloatArray:
    return start_times_s(event, arranged.waves, riders.entry, riders.ftp_w_per_kg)
