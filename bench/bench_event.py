"""What a simulated rider costs, from a thousand to twenty thousand, and a whole event by the command.

`python -m bench.bench_event` prints the cost of a rider; with the word `whole` it rides 10,000 riders in five
scenarios on two workers.
"""

import sys
import tempfile
import time
from dataclasses import replace
from datetime import date
from pathlib import Path

import psutil

from terrain_fuel.event.held import BLOCK_RIDERS, Run, blocks_of, count_run
from terrain_fuel.event.ride import ride_block
from terrain_fuel.event.road import Course, lay_course
from terrain_fuel.event.settings import Event, Wave
from terrain_fuel.inputs.event_file import read_event
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.start_time import zone_at
from terrain_fuel.terrain.measure import measure_terrain

ROUTES = Path(__file__).resolve().parent.parent / "routes"
FIELDS = (1_000, 5_000, 20_000)
WHOLE_RIDERS, WHOLE_SCENARIOS, WORKERS = 10_000, 5, 2
EVERY_S = 0.2


def main() -> None:
    """Print what is asked for."""
    if sys.argv[1:] == ["whole"]:
        whole_event()
    else:
        cost_of_a_rider()


def cost_of_a_rider() -> None:
    """Print processor time and memory a rider, one scenario in one process, field by field."""
    event, course = demo()
    print("riders   ride ms   count ms (three variants)   resident MB of this process")
    for riders in FIELDS:
        one = of_size(event, riders, scenarios=1)
        begun = time.process_time()
        passages = [ride_block(one, course, block) for block in blocks_of(one, BLOCK_RIDERS)]
        ridden = time.process_time()
        count_run(one, course, Run(0, 0), passages)
        counted = time.process_time()
        resident = psutil.Process().memory_info().rss / 1e6
        print(
            f"{riders:6d}   {1000 * (ridden - begun) / riders:7.3f}"
            f"   {1000 * (counted - ridden) / riders:8.3f}   {resident:27.0f}"
        )


def whole_event() -> None:
    """Print time and memory of 10,000 riders in five scenarios by the command, on two workers."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "event.toml"
        path.write_text(_text_of_size(WHOLE_RIDERS, WHOLE_SCENARIOS), encoding="utf-8")
        words = [
            "event", str(path), f"--elevation={ROUTES / 'tiles'}", f"--out={folder}/out",
            f"--workers={WORKERS}", "--quiet",
        ]  # fmt: skip
        begun = time.perf_counter()
        command = psutil.Popen([sys.executable, "-m", "terrain_fuel", *words])
        most = 0.0
        busy_s: dict[int, float] = {}
        while command.poll() is None:
            most = max(most, _resident(command, busy_s))
            time.sleep(EVERY_S)
        taken = time.perf_counter() - begun
        print(
            f"{WHOLE_RIDERS} riders x {WHOLE_SCENARIOS} scenarios, {WORKERS} workers: {taken:.0f} s by the"
            f" clock, {sum(busy_s.values()):.0f} s of processors, at most {most / 1e6:.0f} MB resident;"
            f" exit code {command.returncode}"
        )


def _resident(command: psutil.Popen, busy_s: dict[int, float]) -> float:
    """Return the bytes that the command and its workers hold, and note their processor time."""
    held = 0.0
    try:
        for process in (command, *command.children(recursive=True)):
            held += process.memory_info().rss
            times = process.cpu_times()
            busy_s[process.pid] = times.user + times.system
    except psutil.NoSuchProcess:
        return held
    return held


def demo() -> tuple[Event, Course]:
    """Return the demo event and its course."""
    event = read_event(ROUTES / "event.toml")
    track, relief = read_route(ROUTES / event.day.route, elevation=ROUTES / "tiles")
    zone = zone_at(float(track.lat_deg[0]), float(track.lon_deg[0]))
    return event, lay_course(measure_terrain(track, relief), event, date(2027, 6, 19), zone)


def of_size(event: Event, riders: int, scenarios: int) -> Event:
    """Return the demo event with so many riders in one wave, and one drawn day."""
    return replace(
        event,
        day=replace(event.day, riders=riders, seeds=1),
        waves=(Wave("07:30", riders),),
        scenarios=event.scenarios[:scenarios],
    )


def _text_of_size(riders: int, scenarios: int) -> str:
    """Return the demo's file with so many riders, scenarios and taps for them."""
    text = (ROUTES / "event.toml").read_text(encoding="utf-8")
    head, waves = text.split("[[wave]]", 1)
    rest = "[[piece]]" + waves.split("[[piece]]", 1)[1]
    head = head.replace("riders = 2000", f"riders = {riders}").replace("seeds = 2 ", "seeds = 1 ")
    head = head.replace('"loop-120.gpx"', f'"{ROUTES / "loop-120.gpx"}"')
    more = "".join(
        f'[[scenario]]\nname = "more {number}"\ntemperature_c = {10 + 3 * number}\n\n'
        for number in range(scenarios - head.count("[[scenario]]"))
    )
    return f'{head}{more}[[wave]]\nstart = "07:30"\nriders = {riders}\n\n{rest}'


if __name__ == "__main__":
    main()
