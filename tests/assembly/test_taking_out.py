"""What a halt says of the bag that is reached only standing."""

from dataclasses import replace

from terrain_fuel.assembly.taking_out import taking_out_notices, with_taken_out
from terrain_fuel.facts import fact
from terrain_fuel.pantry import Container, Pantry
from terrain_fuel.plan import FuelPoint
from tests.saying import say

CARRIERS = (Container("pocket", holds_items=4), Container("saddle bag", "bag", 0.0, 9, "stopped"))
PANTRY = Pantry(containers=CARRIERS)
REFILL = FuelPoint(
    number=1, label="A", distance_m=0.0, time_s=0.0, lat_deg=0.0, lon_deg=0.0, stretch=0, window_start_m=0.0,
    window_end_m=0.0, earliest_s=0.0, latest_s=0.0, action="refill", item="water", portions=0,
    carbohydrate_g=0.0, fluid_ml=500.0, sodium_mg=0.0, caffeine_mg=0.0, container="front bottle",
    rules=(), reason=fact("unnamed_refill"),
)  # fmt: skip


def bite(km: float, item: str, container: str) -> FuelPoint:
    return replace(
        REFILL, label="1", distance_m=1000.0 * km, action="eat", item=item, portions=1, container=container
    )


def halt(km: float, label: str) -> FuelPoint:
    return replace(REFILL, label=label, distance_m=1000.0 * km)


def test_each_halt_tells_what_the_road_up_to_the_next_takes_out_of_the_bag() -> None:
    """Two halves of an oat square and a slice after A, whose two bottles are two points; a slice after B."""
    points = [
        bite(10, "oat square", "pocket"), halt(20, "A"), halt(20.005, "A"),
        bite(22, "oat square", "saddle bag"), bite(30, "fig slice", "saddle bag"),
        bite(35, "oat square", "saddle bag"), bite(38, "raisin ball", "pocket"), halt(40, "B"),
        bite(45, "fig slice", "saddle bag"), halt(60, "C"),
    ]  # fmt: skip
    points = list(with_taken_out(points, PANTRY))
    told = [say(point.reason) for point in points if point.action == "refill"]
    bare = say(REFILL.reason)
    assert told == [
        f"{bare}; out of the saddle bag into a pocket: 1 × fig slice, 1 × oat square",
        bare,
        f"{bare}; out of the saddle bag into a pocket: 1 × fig slice",
        bare,
    ]
    (notice,) = taking_out_notices(points, PANTRY)
    assert say(notice).startswith(
        "Bites from the saddle bag go into a pocket at the halt before them (A, B): "
    )
    assert taking_out_notices(points[:3], PANTRY) == ()
