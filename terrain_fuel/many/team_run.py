"""A team's plans over a cluster: a task for each rider and stage, its files in a folder of their own."""

import json
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import tzinfo
from functools import partial
from pathlib import Path

from distributed import Client

from terrain_fuel.collector import uncollected
from terrain_fuel.day import Day
from terrain_fuel.errors import OutputError, SettingsError, TerrainFuelError
from terrain_fuel.inputs.settings import day_of
from terrain_fuel.many.kept import Kept
from terrain_fuel.many.run import Finished, SetAside, Shared, Task, run_tasks
from terrain_fuel.many.settings_files import settings_files
from terrain_fuel.many.takings import takings_of
from terrain_fuel.many.work_key import work_key
from terrain_fuel.mishaps import with_mishaps
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.outputs.folder import write_folder
from terrain_fuel.outputs.generation import generation_in
from terrain_fuel.outputs.print_choices import PrintChoices
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pace.ridden import ride_road
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ridden, refuse_too_long
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.team.bunch import BunchPace, bunch_pace, ride_with
from terrain_fuel.team.model import Bunch, Stage, Start, Team
from terrain_fuel.team.takings import Takings
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Relief, Track

RouteReader = Callable[[Path, str | None], tuple[Track, Relief | None]]
"""Opens a route file, one track of it."""

ZoneFinder = Callable[[Track], tzinfo]


@dataclass(frozen=True, slots=True)
class Road:
    """What all riders of a stage share: the measured road, and the paces of its bunches."""

    terrain: Terrain
    paces: tuple[BunchPace, ...]


@dataclass(frozen=True, slots=True)
class StageAsked:
    """What a stage's road is made of: route, relief, day, and who sets the pace of each bunch."""

    track: Track
    relief: Relief | None
    day: Day
    bunches: tuple[tuple[tuple[Rider, ...], float | None], ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """One plan that is asked for; ``choices`` None leaves the drawings out, ``bunch`` None rides alone.

    ``sheets`` hold the language and the units of the team's sheets.
    """

    rider: Rider
    pantry: Pantry
    day: Day
    stage: str
    kitchen: str
    bunch: int | None
    choices: PrintChoices | None
    sheets: Habits


@dataclass(frozen=True, slots=True)
class Made:
    """What a worker sends back: files by name, and what the plan takes."""

    files: Mapping[str, bytes]
    takings: Takings


def plan_team(
    client: Client,
    team: Team,
    out: Path,
    choices: PrintChoices | None,
    read: RouteReader,
    zone_of: ZoneFinder,
    told: Callable[[int, int, str], None] = lambda done, total, name: None,
) -> Iterator[Finished | SetAside]:
    """Yield what becomes of every plan of a team, its files in ``out/RIDER/STAGE``.

    Parameters
    ----------
    client : of `open_cluster`
    team : of its file
    out : a folder that is there
    choices : how the outputs are drawn, None for plan.json and the settings alone
    read, zone_of : how a route is opened, and in which time zone it starts
    told : called with plans done, all plans, and what was done last

    Raises
    ------
    EngineError, OutputError
        As `run_tasks`; what was yielded is kept and stands in its folder.
    """
    folders = folder_names(team, out)
    kept, total = Kept.within(out), sum(len(stage.starts) for stage in team.stages)
    tasks: list[Task] = []
    shared: dict[str, Shared] = {}
    done = 0
    for stage in team.stages:
        try:
            asked = _opened(stage, read, zone_of)
        except TerrainFuelError as fault:
            for start in stage.starts:
                done += 1
                yield SetAside(Task(_task_name(stage, start), "", None), str(fault))
            continue
        key = work_key(asked)
        shared[key] = Shared(make_road, asked)
        tasks.extend(_task(stage, start, asked.day, team, key, choices) for start in stage.starts)
    settle = partial(_put_away, folders)
    outcomes = run_tasks(
        client, plan_one, tasks, kept, shared=shared, settle=settle, is_whole=partial(_stands, folders)
    )
    for outcome in outcomes:
        done += 1
        told(done, total, outcome.task.name)
        yield outcome
    kept.keep_only(task.key for task in tasks)


def takings_kept(outcome: Finished) -> Takings:
    """Return what a finished plan takes, as it was kept."""
    return Takings.of_json(json.loads(outcome.kept)["takings"])


def folder_names(team: Team, out: Path) -> dict[tuple[str, str], Path]:
    """Return the folder of each rider and stage by their names, no two alike on any file system.

    Raises
    ------
    SettingsError
        If two riders or two stages would have the same folder.
    """
    riders = _folders(dict.fromkeys(start.name for stage in team.stages for start in stage.starts), "rider")
    stages = _folders(dict.fromkeys(stage.name for stage in team.stages), "stage")
    return {
        (start.name, stage.name): out / riders[start.name] / stages[stage.name]
        for stage in team.stages
        for start in stage.starts
    }


def _folders(names: Mapping[str, None], what: str) -> dict[str, str]:
    found: dict[str, str] = {}
    taken: dict[str, str] = {}
    for name in names:
        letters = "".join(letter if letter.isalnum() or letter in " -_" else "-" for letter in name)
        folder = "-".join(letters.split())[:60].strip("-") or what
        if folder.casefold() in taken:
            raise SettingsError(
                f"{what} {name!r}: would have the same folder as {taken[folder.casefold()]!r} ({folder});"
                " change one of the names"
            )
        taken[folder.casefold()] = name
        found[name] = folder
    return found


def _opened(stage: Stage, read: RouteReader, zone_of: ZoneFinder) -> StageAsked:
    """Return a stage with its route read and its day known."""
    track, relief = read(stage.route, stage.track)
    day = day_of(stage.day, stage.day_path, zone_of(track))
    by_name = {start.name: start.rider for start in stage.starts}
    bunches = tuple((tuple(by_name[name] for name in each.set_by), each.time_s) for each in stage.bunches)
    return StageAsked(track, relief, day, bunches)


def _task(
    stage: Stage, start: Start, day: Day, team: Team, road_key: str, choices: PrintChoices | None
) -> Task:
    bunch = next((n for n, each in enumerate(stage.bunches) if _is_in(start, each)), None)
    asked = Asked(
        start.rider, team.kitchens[start.kitchen], day, stage.name, start.kitchen, bunch, choices, team.habits
    )  # fmt: skip
    return Task(_task_name(stage, start), work_key(asked, road_key), asked, road_key)


def _is_in(start: Start, bunch: Bunch) -> bool:
    return start.name in bunch.riders


def _task_name(stage: Stage, start: Start) -> str:
    return f"{start.name}, {stage.name}"


def make_road(asked: StageAsked) -> Road:
    """Measure a stage's road and set the paces of its bunches; done on a worker, once for all its riders."""
    refuse_too_long(asked.track)
    terrain = measure_terrain(asked.track, asked.relief)
    return Road(
        terrain,
        tuple(bunch_pace(terrain, setters, asked.day, time_s) for setters, time_s in asked.bunches),
    )


@uncollected()
def plan_one(asked: Asked, road: Road) -> Made:
    """Plan one rider's stage by the calls of the single command; done on a worker."""
    if asked.bunch is None:
        ridden = ride_road(road.terrain, asked.rider, asked.day)
    else:
        ridden = ride_with(road.terrain, asked.rider, asked.day, road.paces[asked.bunch])
    plan = plan_ridden(ridden, asked.pantry)
    settings = settings_files(asked.rider, asked.pantry, ridden.day)
    if asked.choices is None:
        files = {"plan.json": plan_text(plan).encode()}
    else:
        files = _drawn(with_mishaps(plan), asked.choices)
    words = words_for(Rider(habits=asked.sheets))
    return Made({**files, **settings}, takings_of(plan, asked.stage, asked.kitchen, words))


def _drawn(plan: Plan, choices: PrintChoices) -> dict[str, bytes]:
    """Return every output of a plan; they are written where the worker is and sent from there."""
    try:
        with tempfile.TemporaryDirectory() as folder:
            paths = write_folder(plan, Path(folder), choices)
            return {path.name: path.read_bytes() for path in paths}
    except (OSError, OutputError):
        raise OutputError(
            f"worker: cannot draw into {tempfile.gettempdir()}, its folder for temporary files; make room"
            " there"
        ) from None


def _put_away(folders: Mapping[tuple[str, str], Path], task: Task, made: Made) -> bytes:
    """Put a plan's files into its folder, all or none, and return what is kept of it."""
    folder = folders[made.takings.rider, made.takings.stage]
    with generation_in(folder, tuple(made.files)) as aside:
        for name, content in made.files.items():
            (aside / name).write_bytes(content)
    sizes = {name: len(content) for name, content in made.files.items()}
    return json.dumps({"files": sizes, "takings": made.takings.to_json()}).encode()


def _stands(folders: Mapping[tuple[str, str], Path], task: Task, content: bytes) -> bool:
    """Return whether an earlier run's plan still stands in its folder as it was written."""
    asked: Asked = task.payload
    folder = folders[asked.rider.name, asked.stage]
    try:
        kept = json.loads(content)
        Takings.of_json(kept["takings"])
        return all((folder / name).stat().st_size == size for name, size in kept["files"].items())
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return False
