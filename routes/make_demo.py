"""Make the demo: three routes and one elevation tile of a district that does not exist.

Run from the project's folder: ``python -m routes.make_demo``. The tile lies in open ocean, so
that nobody takes the routes for roads. Every place is invented.
"""

import zipfile
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates

from routes.ground import SIDE, raise_ground
from routes.roads import STEP_M, Floats, Hairpins, evenly, insert, profile, ring, wiggle
from terrain_fuel.equations.geodesy import ECCENTRICITY_SQUARED, SEMI_MAJOR_M, geodesic_m

FOLDER = Path(__file__).resolve().parent
TILE = "N45W007"
SOUTH_DEG, WEST_DEG = 45.0, -7.0
MIDDLE_DEG = (SOUTH_DEG + 0.5, WEST_DEG + 0.47)
SEED = 20270508


@dataclass(frozen=True, slots=True)
class Place:
    """A waypoint of the demo, by distance along the road [km]."""

    km: float
    name: str
    symbol: str
    type: str = ""
    comment: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """What one demo route is to be. ``knots`` are (km, height) in the finished road."""

    file: str
    name: str
    length_m: float
    radius_m: float
    lobes: tuple[tuple[int, float, float], ...]
    knots: tuple[tuple[float, float], ...]
    rollers_m: float
    places: tuple[Place, ...]
    hairpins: Hairpins | None = None
    with_heights: bool = True


LOOP = Plan(
    "loop-120.gpx",
    "Three Passes of Ostrel",
    120_000.0,
    15_500.0,
    ((2, 0.13, 0.4), (3, 0.10, 2.0), (5, 0.05, 4.0)),
    (
        (0.0, 140.0), (6.0, 152.0), (13.0, 168.0), (17.0, 190.0),
        (19.0, 285.0), (21.0, 392.0), (22.2, 428.0), (24.0, 518.0), (25.1, 571.0), (25.7, 574.0),
        (28.0, 465.0), (31.0, 336.0), (34.5, 232.0), (37.0, 205.0),
        (48.0, 190.0), (58.1, 205.0),
        (59.7, 312.0), (61.1, 409.0), (61.7, 415.0),
        (62.4, 386.0), (65.4, 202.0), (66.6, 176.0), (72.0, 150.0), (84.4, 165.0),
        (86.2, 258.0), (87.5, 328.0), (88.3, 354.0), (88.8, 356.0),
        (92.0, 280.0), (97.0, 190.0), (104.0, 160.0), (113.0, 150.0), (120.0, 140.0),
    ),
    2.4,
    (
        Place(0.0, "Ormsey", "City", "village"),
        Place(13.2, "Tarn Ostrel", "City", "village"),
        Place(25.5, "Merrin Pass", "Summit", "pass", "574 m"),
        Place(37.2, "Lower Thessel", "City", "village"),
        Place(46.0, "Thessel tap", "Drinking Water", "water", "runs all year"),
        Place(61.4, "Saddle of Orrin", "Summit", "pass"),
        Place(66.9, "Fountain at Quarry Bridge", "Drinking Water", "water"),
        Place(75.4, "Calloway Green", "City", "village"),
        Place(79.0, "Level crossing, do not stop", "Flag, Red", "no stop"),
        Place(88.5, "Gorse Hill", "Summit", "summit"),
        Place(99.8, "Vantry", "City", "village"),
        Place(103.0, "Vantry bakery", "Restaurant", "food", "shut on Mondays"),
    ),
    Hairpins(62_300.0, (190.0, 260.0, 300.0, 240.0, 320.0, 280.0, 230.0, 260.0, 200.0),
             (12.0, 11.0, 14.0, 10.0, 13.0, 15.0, 11.0, 12.0)),
)  # fmt: skip

ROLLING = Plan(
    "rolling-60.gpx",
    "Round the Inner Downs",
    60_000.0,
    7_500.0,
    ((2, 0.16, 1.0), (3, 0.10, 0.5), (4, 0.06, 2.0)),
    (
        (0.0, 210.0), (4.0, 250.0), (8.0, 215.0), (13.0, 268.0), (18.0, 220.0), (22.0, 285.0),
        (27.0, 230.0), (33.0, 262.0), (38.0, 205.0), (43.0, 272.0), (48.0, 222.0), (54.0, 250.0),
        (60.0, 210.0),
    ),
    5.0,
    (
        Place(0.0, "Hallowick", "City", "village"),
        Place(21.9, "Windle Down", "Summit", "summit"),
        Place(30.5, "Pump at Nether Sallow", "Drinking Water", "water"),
        Place(46.0, "Brackenfold", "City", "village"),
    ),
    with_heights=False,
)  # fmt: skip

LONG = Plan(
    "long-200.gpx",
    "The Outer Round",
    200_000.0,
    26_000.0,
    ((2, 0.12, 0.2), (3, 0.07, 1.0), (5, 0.05, 0.0), (7, 0.02, 3.0)),
    (
        (0.0, 60.0), (9.0, 75.0), (18.0, 110.0), (24.0, 390.0), (25.0, 395.0), (32.0, 130.0),
        (43.0, 120.0), (50.0, 285.0), (56.0, 110.0), (66.0, 125.0), (75.5, 615.0), (76.5, 620.0),
        (86.0, 160.0), (98.0, 130.0), (105.0, 350.0), (111.0, 150.0), (121.0, 140.0),
        (127.0, 420.0), (128.0, 425.0), (135.0, 160.0), (146.0, 120.0), (152.0, 290.0), (158.0, 110.0),
        (168.0, 105.0), (172.5, 335.0), (173.3, 338.0), (180.0, 100.0), (190.0, 75.0), (200.0, 60.0),
    ),
    5.0,
    (
        Place(0.0, "Port Calder", "City", "village"),
        Place(24.5, "Hob Moor", "Summit", "summit"),
        Place(37.0, "Tap at Sedge Chapel", "Drinking Water", "water"),
        Place(64.5, "Marl Cross shop", "Shopping Center", "shop", "open until noon on Sundays"),
        Place(76.0, "Great Ostrel Pass", "Summit", "pass", "620 m"),
        Place(99.5, "Tap at Upper Lindle", "Drinking Water", "water"),
        Place(127.5, "Carrow Saddle", "Summit", "pass"),
        Place(138.0, "Spring below Carrow", "Drinking Water", "water", "unsure: dry in late summer"),
        Place(165.0, "Fenwater cafe", "Restaurant", "cafe"),
        Place(172.9, "Last Hill", "Summit", "summit"),
    ),
)  # fmt: skip

PLANS = (LOOP, ROLLING, LONG)


def lay(plan: Plan, rng: np.random.Generator) -> tuple[Floats, Floats, Floats]:
    """Return latitude, longitude [degrees] and height [m] of a road, a metre apart."""
    radius, bends = plan.radius_m, np.random.default_rng(rng.integers(2**32))
    state = bends.bit_generator.state
    for _ in range(6):
        bends.bit_generator.state = state
        points = _plan_of(plan, radius, bends)
        lat, lon = to_degrees(points)
        length = float(geodesic_m(lat[:-1], lon[:-1], lat[1:], lon[1:])[0].sum())
        radius *= plan.length_m / length
    heights = profile((lat.size - 1) * STEP_M, list(plan.knots), plan.rollers_m, rng)
    return lat, lon, heights


def _plan_of(plan: Plan, radius_m: float, rng: np.random.Generator) -> Floats:
    points = ring(radius_m, plan.lobes)
    along = np.arange(points.shape[0]) * STEP_M
    share = np.clip(np.minimum(along, along[-1] - along) / 1200.0, 0.0, 1.0)
    points = wiggle(points, rng, share)
    if plan.hairpins is not None:
        points = insert(points, plan.hairpins, rng)
    return evenly(points)


def metres_a_degree() -> tuple[float, float]:
    """Return the length of a degree of latitude and of longitude in the tile's middle [m]."""
    sine2 = np.sin(np.radians(MIDDLE_DEG[0])) ** 2
    across = SEMI_MAJOR_M / np.sqrt(1.0 - ECCENTRICITY_SQUARED * sine2)
    along = across * (1.0 - ECCENTRICITY_SQUARED) / (1.0 - ECCENTRICITY_SQUARED * sine2)
    return float(np.radians(along)), float(np.radians(across) * np.cos(np.radians(MIDDLE_DEG[0])))


def to_degrees(points_m: Floats) -> tuple[Floats, Floats]:
    """Return latitude and longitude of points on the flat chart about the tile's middle."""
    north, east = metres_a_degree()
    return MIDDLE_DEG[0] + points_m[:, 1] / north, MIDDLE_DEG[1] + points_m[:, 0] / east


def pick(lat: Floats, lon: Floats) -> NDArray[np.intp]:
    """Return indices of points about 20 m apart, 5 m apart in tight bends."""
    north, east = metres_a_degree()
    heading = np.unwrap(np.arctan2(np.gradient(lat) * north, np.gradient(lon) * east))
    radius = 1.0 / np.maximum(np.abs(np.gradient(gaussian_filter1d(heading, 4.0), STEP_M)), 1e-6)
    spacing = np.interp(radius, [25.0, 120.0], [5.0, 20.0])
    places = np.cumsum(STEP_M / spacing)
    chosen = np.flatnonzero(np.diff(np.floor(places), prepend=-1.0) > 0)
    return np.unique(np.concatenate([[0], chosen, [lat.size - 1]]))


def write_gpx(plan: Plan, lat: Floats, lon: Floats, heights: Floats) -> None:
    """Write a road as GPX 1.1."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="terrain-fuel demo" xmlns="http://www.topografix.com/GPX/1/1">',
        f"  <metadata><name>{escape(plan.name)}</name>",
        "    <desc>An invented district, placed in open ocean.</desc></metadata>",
    ]
    for place in plan.places:
        i = round(place.km * 1000.0 / STEP_M)
        comment = f"<cmt>{escape(place.comment)}</cmt>" if place.comment else ""
        lines.append(
            f'  <wpt lat="{lat[i] + 4e-5:.6f}" lon="{lon[i] + 4e-5:.6f}"><name>{escape(place.name)}</name>'
            f"{comment}<sym>{escape(place.symbol)}</sym><type>{escape(place.type)}</type></wpt>"
        )
    lines += ["  <trk>", f"    <name>{escape(plan.name)}</name>", "    <trkseg>"]
    for i in pick(lat, lon):
        height = f"<ele>{heights[i]:.1f}</ele>" if plan.with_heights else ""
        lines.append(f'      <trkpt lat="{lat[i]:.7f}" lon="{lon[i]:.7f}">{height}</trkpt>')
    lines += ["    </trkseg>", "  </trk>", "</gpx>", ""]
    (FOLDER / plan.file).write_text("\n".join(lines), encoding="utf-8")


def write_tile(ground: Floats) -> None:
    """Write the ground as a zipped .hgt tile, the same bytes on every run."""
    entry = zipfile.ZipInfo(f"{TILE}.hgt", date_time=(2027, 1, 1, 0, 0, 0))
    entry.compress_type = zipfile.ZIP_DEFLATED
    (FOLDER / "tiles").mkdir(exist_ok=True)
    with zipfile.ZipFile(FOLDER / "tiles" / f"{TILE}.hgt.zip", "w") as archive:
        archive.writestr(entry, np.round(ground).astype(">i2").tobytes(), compresslevel=9)


def main() -> None:
    """Make every file of the demo and say how well the ground meets the roads."""
    rng = np.random.default_rng(SEED)
    roads = [lay(plan, rng) for plan in PLANS]
    lat, lon, heights = (np.concatenate([road[i][::10] for road in roads]) for i in range(3))
    rows, cols = (SOUTH_DEG + 1.0 - lat) * (SIDE - 1), (lon - WEST_DEG) * (SIDE - 1)
    ground = raise_ground(rows, cols, heights, SEED)
    write_tile(ground)
    for plan, road in zip(PLANS, roads, strict=True):
        write_gpx(plan, *road)
        there = map_coordinates(
            np.round(ground),
            [(SOUTH_DEG + 1.0 - road[0]) * (SIDE - 1), (road[1] - WEST_DEG) * (SIDE - 1)],
            order=1,
        )
        misfit = np.abs(there - road[2])
        print(
            f"{plan.file}: {road[0].size * STEP_M / 1000:.1f} km, ground off by {misfit.max():.1f} m at most"
        )


if __name__ == "__main__":
    main()
