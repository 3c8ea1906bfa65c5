"""Random riders, kitchens and days over all that settings allow: is any limit broken in silence?

`python -m bench.bench_riders --rides 20000 --minutes 400 --first 1` goes on as long as wanted; a ride that
went wrong is planned again by its number.
"""

import argparse
import sys
import time
import traceback
from collections import Counter
from itertools import count
from typing import Any

from terrain_fuel.checker import check_plan
from terrain_fuel.errors import TerrainFuelError
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.planner import plan_ride
from tests.any_riders import any_ride
from tests.made_roads import make_track

RIDES, MINUTES = 2000, 45.0
HOUR_S = 3600.0


def fullest_hour(plan: dict[str, Any], column: str) -> float:
    """Return the most that any hour of a written plan brings of one column."""
    points = [point for point in plan["fuel_points"] if point["action"] != "refill"]
    return max(
        (
            sum(p[column] for p in points if 0.0 <= p["time_s"] - first["time_s"] < HOUR_S - 0.01)
            for first in points
        ),
        default=0.0,
    )


def figures(plan: dict[str, Any]) -> dict[str, float]:
    """Return what a plan asks of a body, counted here and nowhere else."""
    drunk_ml, sweat_ml = plan["timeline"]["fluid_drunk_ml"], plan["timeline"]["sweat_ml"]
    mass_kg = plan["rider"]["rider"]["body_mass_kg"]
    lost = [(s - d) / 10.0 / mass_kg for s, d in zip(sweat_ml, drunk_ml, strict=True)]
    return {
        "carbohydrate in an hour [g]": fullest_hour(plan, "carbohydrate_g"),
        "fluid in an hour [ml]": fullest_hour(plan, "fluid_ml"),
        "sodium in an hour [mg]": fullest_hour(plan, "sodium_mg"),
        "caffeine in an hour [mg]": fullest_hour(plan, "caffeine_mg"),
        "caffeine in all [mg]": sum(point["caffeine_mg"] for point in plan["fuel_points"]),
        "body mass lost [%]": max(lost),
        "drunk beyond the sweat [ml]": drunk_ml[-1] - sweat_ml[-1],
    }


class Count:
    """What became of the rides so far."""

    def __init__(self) -> None:
        self.fared: Counter[str] = Counter()
        self.named: Counter[str] = Counter()
        self.worst: dict[str, tuple[float, int]] = {}
        self.slowest: tuple[float, int] = (0.0, 0)

    def plan_one(self, number: int) -> None:
        """Plan the ride of a number and look at the plan."""
        ride, started = any_ride(number), time.process_time()
        try:
            plan = plan_ride(make_track(ride.road), ride.rider, ride.pantry, ride.day)
            written = plan_to_dict(plan)
            silent = [fault.sentence for fault in check_plan(written) if not fault.declared]
        except TerrainFuelError as refusal:
            self.fared["refused"] += 1
            print(f"  ride {number} is refused: {refusal}")
            return
        except Exception:
            self.fared["broken"] += 1
            print(f"  ride {number}: {traceback.format_exc(limit=-3)}")
            return
        finally:
            self.slowest = max(self.slowest, (time.process_time() - started, number))
        self.fared["silent" if silent else "named" if plan.violations else "good"] += 1
        self.named.update({violation.name for violation in plan.violations})
        if silent:
            print(f"  ride {number}: {silent[0]}")
        elif not plan.violations:
            for name, value in figures(written).items():
                self.worst[name] = max(self.worst.get(name, (value, number)), (value, number))

    def tell(self) -> None:
        """Print the count."""
        kinds = {"good": "keep every limit", "named": "name the limit they cannot keep",
                 "refused": "are refused with a message", "silent": "break a limit silently (must be 0)",
                 "broken": "end in an error nobody foresaw (must be 0)"}  # fmt: skip
        print(f"{sum(self.fared.values())} random riders, kitchens and days:")
        for kind, said in kinds.items():
            print(f"  {self.fared[kind]:>6} {said}")
        print("limits named: " + ", ".join(f"{name} {times}" for name, times in self.named.most_common()))
        print("the most that a plan called good asks for:")
        for name, (value, number) in self.worst.items():
            print(f"  {name:<28} {value:8.1f} (ride {number})")
        print(f"slowest: {self.slowest[0]:.1f} s of processor time (ride {self.slowest[1]})")


def main() -> int:
    """Plan rides until there are enough or the time is up; return 1 if any went wrong."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rides", type=int, default=RIDES)
    parser.add_argument("--minutes", type=float, default=MINUTES)
    parser.add_argument("--first", type=int, default=1)
    chosen = parser.parse_args()
    sys.stdout.reconfigure(line_buffering=True)  # type: ignore[union-attr]
    end_s, counted = time.monotonic() + 60.0 * chosen.minutes, Count()
    for number in count(chosen.first):
        if number >= chosen.first + chosen.rides or time.monotonic() > end_s:
            break
        counted.plan_one(number)
        if number % 200 == 0:
            counted.tell()
    counted.tell()
    return int(bool(counted.fared["silent"] + counted.fared["broken"]))


if __name__ == "__main__":
    raise SystemExit(main())
