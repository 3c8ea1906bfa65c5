"""What planning takes: the stages side by side with the imports, a plan anew, mishaps, and days at the edge.

Prints ratios to the imports that any of it needs; CPU time of the same run, and the peak memory.
"""

import resource
import subprocess
import sys
import time
from collections.abc import Callable

from terrain_fuel.day import Day
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.mishaps import with_mishaps
from terrain_fuel.pace.ridden import ride_road
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.planner import plan_ridden, plan_ride, replan
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.terrain.measure import measure_terrain
from tests.demo import ROUTE_NAMES, ROUTES, demo_route
from tests.made_roads import Road, make_track

IMPORTS = "import time, numpy, scipy.ndimage, gpxpy, shapely, folium; print(time.process_time())"
ROUNDS = 3
EDGES: tuple[tuple[str, float, Rider, Day], ...] = (
    (
        "five minutes, 60 km",
        60.0,
        Rider(ftp_w=90.0, habits=Habits(eat_every_min=5.0, longest_gap_min=10.0)),
        Day(),
    ),
    (
        "five minutes, 400 km",
        400.0,
        Rider(ftp_w=150.0, habits=Habits(eat_every_min=5.0, longest_gap_min=10.0)),
        Day(),
    ),
    ("600 km in a day and a night", 600.0, Rider(), Day()),
    ("1200 km", 1200.0, Rider(habits=Habits(longest_gap_min=120.0)), Day()),
)


def cpu_s(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Return the least CPU time of a few rounds [s]."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def bench_demo() -> None:
    """Print the stages of the demo days as ratios to the imports."""
    done = subprocess.run([sys.executable, "-c", IMPORTS], capture_output=True, text=True, check=True)
    imports_s = float(done.stdout)
    rider, pantry = read_rider(ROUTES / "rider.toml"), read_pantry(ROUTES / "pantry.toml")
    print(f"imports {imports_s:.2f} s of CPU; the rest as its multiples")
    print(f"{'':<22} {'plan':>6} {'again':>6} {'draft':>6} {'mishaps':>8}")
    for name in ROUTE_NAMES:
        track, relief = demo_route(name)
        for file in ("day.toml", "race.toml"):
            day = read_day(ROUTES / file)
            ridden = ride_road(measure_terrain(track, relief), rider, day)
            plan = plan_ride(track, rider, pantry, day, relief)
            row = (
                cpu_s(lambda: plan_ride(track, rider, pantry, day, relief)),  # noqa: B023
                cpu_s(lambda: plan_ridden(ridden, pantry)),  # noqa: B023
                cpu_s(lambda: replan(plan, rider, pantry, day, care="draft")),  # noqa: B023
                cpu_s(lambda: with_mishaps(plan), 1),  # noqa: B023
            )
            ratios = " ".join(f"{each / imports_s:>6.2f}" for each in row)
            print(f"{name + ' ' + file.split('.')[0]:<22} {ratios}")


def bench_edges() -> None:
    """Print CPU time and the peak of memory of days at the edge of what is allowed."""
    many = Pantry((*(Item(f"food {i}", "chew", 10.0 + i, count=50) for i in range(30)), *Pantry().items))
    print("days at the edge: s of CPU, with thirty foods more, peak MB so far")
    for name, km, rider, day in EDGES:
        track = make_track(Road(km, hilliness=0.03, taps=tuple(range(20, int(km) - 1, 40))))
        usual_s = cpu_s(lambda: plan_ride(track, rider, Pantry(), day), 1)  # noqa: B023
        many_s = cpu_s(lambda: plan_ride(track, rider, many, day), 1)  # noqa: B023
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000.0
        print(f"{name:<28} {usual_s:>6.1f} {many_s:>6.1f} {peak_mb:>6.0f}")


if __name__ == "__main__":
    bench_demo()
    bench_edges()
