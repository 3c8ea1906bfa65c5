"""Invented roads whose every height, bend, climb and descent is known: passes, hills, valleys, plains."""

import numpy as np

from tests.road_building import Road, Section, build_road


def mountain_pass(seed: int = 0) -> Road:
    """Return a valley, a pass with hairpins and a false flat, a crest, a hairpin descent and a valley."""
    rng = np.random.default_rng(seed)
    up, down = rng.uniform(0.055, 0.085), -rng.uniform(0.055, 0.085)
    radius = rng.uniform(8.0, 15.0)
    return build_road(
        f"pass-{seed}",
        [
            Section(rng.uniform(2000, 4000), rng.uniform(-0.004, 0.008), "flat", 250.0, 40.0, 500.0),
            Section(rng.uniform(2500, 4000), up, "climb", radius, 170.0, 320.0),
            Section(rng.uniform(700, 1200), rng.uniform(0.0, 0.012), None, 120.0, 45.0, 300.0),
            Section(rng.uniform(2000, 3500), up + 0.01, None, radius, 170.0, 290.0),
            Section(rng.uniform(500, 900), rng.uniform(-0.006, 0.006), "flat"),
            Section(rng.uniform(3500, 6000), down, "descent", radius, 165.0, 350.0),
            Section(rng.uniform(2500, 4000), rng.uniform(-0.012, 0.0), "flat", 300.0, 30.0, 600.0),
        ],
    )


def rollers(seed: int = 0, hills: int = 10) -> Road:
    """Return short hills of 35 to 80 m, one after the other: the hard case for noisy heights."""
    rng = np.random.default_rng(seed)
    sections = [Section(rng.uniform(1500, 2500), 0.002, "flat")]
    for _ in range(hills):
        grade, length = rng.uniform(0.055, 0.08), rng.uniform(700, 1000)
        sections.append(Section(length, grade, "climb", 200.0, 30.0, 300.0))
        sections.append(Section(length * rng.uniform(0.9, 1.1), -grade, "descent", 200.0, 30.0, 300.0))
    sections.append(Section(rng.uniform(1500, 2500), -0.002, "flat"))
    return build_road(f"rollers-{seed}", sections, start_elevation_m=250.0)


def rolling_plain(seed: int = 0) -> Road:
    """Return twenty bumps of 8 to 16 m on level ground: nothing a rider would call a climb."""
    rng = np.random.default_rng(seed)
    sections = [Section(800.0, 0.0, "flat")]
    for _ in range(20):
        grade, length = rng.uniform(0.025, 0.04), rng.uniform(320, 400)
        sections += [Section(length, grade, None), Section(length, -grade, None)]
    return build_road(f"rolling-{seed}", [*sections, Section(800.0, 0.0, None)], start_elevation_m=120.0)


def hill_country(seed: int = 0) -> Road:
    """Return climbs and descents of 100 to 350 m with level road between, and wide bends."""
    rng = np.random.default_rng(seed)
    sections = [Section(rng.uniform(1500, 3000), 0.0, "flat", 300.0, 35.0, 700.0)]
    for _ in range(4):
        grade, gain = rng.uniform(0.04, 0.09), rng.uniform(100, 350)
        sections += [
            Section(gain / grade, grade, "climb", rng.uniform(60, 200), 40.0, 400.0),
            Section(rng.uniform(800, 2500), rng.uniform(-0.008, 0.008), "flat", 200.0, 40.0, 600.0),
            Section(
                gain * rng.uniform(0.8, 1.1) / grade, -grade, "descent", rng.uniform(150, 300), 40.0, 500.0
            ),
            Section(rng.uniform(1500, 4000), rng.uniform(-0.008, 0.008), "flat", 300.0, 35.0, 700.0),
        ]
    return build_road(f"hills-{seed}", sections, start_elevation_m=400.0)


def valley_road(seed: int = 0) -> Road:
    """Return a long valley that rises gently, crossed by a bridge over a gorge."""
    rng = np.random.default_rng(seed)
    bends = (180.0, 35.0, 450.0)
    sections = [
        Section(rng.uniform(4000, 7000), 0.012, "flat", *bends),
        Section(rng.uniform(4000, 7000), 0.005, None, *bends),
        Section(rng.uniform(2000, 3000), rng.uniform(0.04, 0.055), "climb", *bends),
        Section(rng.uniform(3000, 5000), 0.004, "flat", *bends),
    ]
    middle = float(rng.uniform(1500, 3500))
    return build_road(f"valley-{seed}", sections, bridges=[(middle - 90.0, middle + 90.0)])


def sweeping_descent(seed: int = 0) -> Road:
    """Return a climb and a descent at -7 % whose bends are all of 150 m and more."""
    rng = np.random.default_rng(seed)
    wide = (rng.uniform(150, 220), 60.0, 420.0)
    return build_road(
        f"sweeping-{seed}",
        [
            Section(1500, 0.0, "flat"),
            Section(rng.uniform(3000, 4000), 0.07, "climb", *wide),
            Section(700, 0.0, "flat"),
            Section(rng.uniform(3500, 5000), -0.07, "descent", *wide),
            Section(2000, 0.0, "flat"),
        ],
    )


def flat_road(length_m: float = 20_000.0, elevation_m: float = 0.0) -> Road:
    """Return a straight road at one height."""
    return build_road("flat", [Section(length_m, 0.0, "flat")], start_elevation_m=elevation_m)
