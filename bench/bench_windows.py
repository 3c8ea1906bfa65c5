"""How many rides of ten come inside their windows: simulated strangers, and the few recordings there are."""

import time

import numpy as np

from tests.recorded_ride import BODY_MASS_KG, FLAT_RECORDING, RECORDING, windows_met
from tests.strangers import ROADS, World, inside_windows, plan_for

WORLDS = {
    "as expected": World(),
    "windier by half": World(windy=1.5),
    "calm air": World(windy=0.3),
    "riders who know themselves": World(unlike=0.5),
    "riders who do not": World(unlike=1.4),
    "halting little, and saying so": World(halting=0.02),
    "halting much, and saying so": World(halting=0.20),
}
STRANGERS, SEED = 150, 5


def main() -> None:
    """Print the coverage of the windows, at all fuel points and near the finish."""
    for name, world in WORLDS.items():
        started = time.process_time()
        per_road = [inside_windows(plan_for(road, world), world, STRANGERS, SEED) for road in ROADS]
        inside = np.concatenate([rides.ravel() for rides in per_road])
        last = np.concatenate([rides[:, -1] for rides in per_road])
        first = np.concatenate([rides[:, 0] for rides in per_road])
        roads = ", ".join(f"{rides.mean():.0%}" for rides in per_road)
        print(
            f"{name:>32}: {inside.mean():.0%} inside ({roads} by road); first point {first.mean():.0%},"
            f" last {last.mean():.0%}; {STRANGERS * len(ROADS)} strangers,"
            f" {time.process_time() - started:.1f} s of processor time"
        )
    for recording, mass_kg in ((RECORDING, BODY_MASS_KG), (FLAT_RECORDING, 75.0)):
        for second in (False, True):
            met = windows_met(recording, mass_kg, second)
            half = "second" if second else "first"
            print(f"{recording}, {half} half planned from the other: {met.sum()} of {met.size} places inside")


if __name__ == "__main__":
    main()
