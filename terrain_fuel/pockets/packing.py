"""Food into pockets and bags: by time of use, whole or in foil, the reserve where it is not in the way."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from terrain_fuel.day import Day
from terrain_fuel.facts import Fact, fact
from terrain_fuel.limits import OVERFULL
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.plan import BottleFill, Packed, Reserve, Violation, broken
from terrain_fuel.pockets.space import Space
from terrain_fuel.pockets.waiting import Eaten, waiting_bites

NO_POCKET = Container("hand", "pocket", holds_items=0)
"""Where food ends up when the rider has neither pocket nor bag; the plan then says so."""
SPLIT_PIECES = 3


@dataclass(frozen=True, slots=True)
class FoodLoad:
    """Where everything goes: ``containers`` holds one name for each `Eaten`, in their order."""

    packing: tuple[Packed, ...]
    reserve: tuple[Reserve, ...]
    containers: tuple[str, ...]
    violations: tuple[Violation, ...]
    notices: tuple[Fact, ...]


def pack_food(
    eaten: Sequence[Eaten],
    kept_back: Mapping[str, int],
    pours: Sequence[BottleFill],
    pantry: Pantry,
    day: Day,
    length_m: float,
    halts_s: Sequence[float] = (),
) -> FoodLoad:
    """Return what goes into which pocket or bag.

    Parameters
    ----------
    eaten : what is planned from what is carried, in time order
    kept_back : portions of the reserve by item name
    pours : bottle fillings of the rider's own; powder stirred in on the way has to be carried
    pantry, day : items and containers; a race carries no bag beside pockets and wraps bites in foil
    length_m : of the route, for the place of a violation [m]
    halts_s : when the rider stands still with a hand free, rising [s]

    Notes
    -----
    What has a place that the rider wants goes there first, as long as there is room; the rest goes in
    by the time it is first wanted, each kept together as far as it fits. In
    training whole items are carried, so that what is left of a cut one joins the reserve. What is
    planned goes first; of the reserve as much as still fits. An item whose bites end up in two pockets
    is cut at home and wrapped if no other is left to carry whole. What finds no room within reach waits
    in a bag that is reached standing, until a halt.
    """
    spaces, containers = _with_room(eaten, pantry, day, halts_s)
    # What is reached only standing comes first for what is not meant to be needed.
    standing_first = sorted(spaces, key=lambda space: space.container.reach != "stopped")
    _stow_powder(standing_first, pours)
    for name, portions in kept_back.items():
        item = pantry.item(name)
        for _ in range(portions // item.portions):
            space = _roomiest(standing_first, item, item.portions)
            if space.extra_slots(item, item.portions) <= space.free_slots:
                space.put_in(item, kept=item.portions)
    if day.purpose == "training":
        for space in spaces:
            space.keep_remainders(_left_in_stock(spaces, pantry))
    packing = tuple(row for space in spaces for row in _rows(space, pantry, day))
    return FoodLoad(
        packing=packing,
        reserve=tuple(_reserve(row, pantry) for row in packing if row.portions_reserve > 0),
        containers=containers,
        violations=_overfull(spaces, length_m),
        notices=_bag_notice(spaces),
    )


def _left_in_stock(spaces: Sequence[Space], pantry: Pantry) -> dict[str, int]:
    """Return the portions of each packed item that nothing packed is yet made of."""
    names = {name for space in spaces for name in space.items}
    return {
        name: pantry.item(name).stock_portions - sum(space.portions(name) for space in spaces)
        for name in names
    }


def is_in_foil(item: Item, day: Day) -> bool:
    """Return whether an item leaves the kitchen as bites in foil: in a race, what is cut for one."""
    return day.purpose == "race" and item.traits.cut_for_race


def _with_room(
    eaten: Sequence[Eaten], pantry: Pantry, day: Day, halts_s: Sequence[float]
) -> tuple[list[Space], tuple[str, ...]]:
    """Return the spaces with what is planned in them, and the container of each bite.

    Pieces that are split between pockets take a slot more: a few less are then counted on.
    """
    spaces, containers = _stowed(eaten, (), pantry, day)
    if not _over(spaces):
        return spaces, containers
    within_reach, standing = (
        sum(each.container.holds_items for each in spaces if (each.container.reach == "riding") == riding)
        for riding in (True, False)
    )
    for spare in range(SPLIT_PIECES + 1):
        waiting = waiting_bites(eaten, halts_s, within_reach - spare, standing, pantry)
        tried = _stowed(eaten, waiting, pantry, day)
        if waiting and not _over(tried[0]):
            return tried
    return spaces, containers


def _stowed(
    eaten: Sequence[Eaten], waiting: Collection[int], pantry: Pantry, day: Day
) -> tuple[list[Space], tuple[str, ...]]:
    """Return the spaces with what is planned in them, some bites in what is reached standing."""
    spaces = _spaces(pantry, day)
    riding = [space for space in spaces if space.container.reach == "riding"] or spaces
    standing = [space for space in spaces if space.container.reach == "stopped"]
    containers = [""] * len(eaten)
    by_time = dict.fromkeys(bite.item for bite in sorted(eaten, key=lambda bite: bite.clock_s))
    for name in sorted(by_time, key=lambda name: not pantry.item(name).carried_in):
        item = pantry.item(name)
        for within, waits in ((riding, False), (standing, True)):
            of_item = [at for at, bite in enumerate(eaten) if bite.item == name and (at in waiting) == waits]
            for row in _of_whole_items(of_item, eaten, item):
                for part in _as_fits(row, eaten, item, within):
                    portions = sum(eaten[at].portions for at in part)
                    space = _roomiest(within, item, portions)
                    space.put_in(item, planned=portions)
                    for at in part:
                        containers[at] = space.container.name
    return spaces, tuple(containers)


def _of_whole_items(bites: Sequence[int], eaten: Sequence[Eaten], item: Item) -> list[list[int]]:
    """Return the bites of an item in rows that each use up whole ones; the last may leave a rest."""
    rows: list[list[int]] = []
    portions = 0
    for at in bites:
        if portions % item.portions == 0:
            rows.append([])
        rows[-1].append(at)
        portions += eaten[at].portions
    return rows


def _as_fits(row: list[int], eaten: Sequence[Eaten], item: Item, within: Sequence[Space]) -> list[list[int]]:
    """Return a row of bites in one piece, or bite by bite where no pocket has room for them all."""
    portions = sum(eaten[at].portions for at in row)
    if any(space.extra_slots(item, portions) <= space.free_slots for space in within):
        return [row]
    return [[at] for at in row]


def _spaces(pantry: Pantry, day: Day) -> list[Space]:
    """Return pockets first, then bags in reach, then what is reached standing.

    A race is ridden out of the pockets where there are any in reach: a box on the top tube may be all there
    is. What is under the saddle is only for a halt and may stay.
    """
    carriers = [c for c in pantry.containers if c.kind != "bottle" and c.holds_items > 0]
    if day.purpose == "race" and any(_is_pocket_in_reach(c) for c in carriers):
        carriers = [c for c in carriers if c.kind == "pocket" or c.reach == "stopped"]
    carriers.sort(key=lambda c: (c.reach == "stopped", c.kind == "bag"))
    return [Space(carrier) for carrier in carriers or [NO_POCKET]]


def _is_pocket_in_reach(carrier: Container) -> bool:
    return carrier.kind == "pocket" and carrier.reach == "riding"


def _roomiest(spaces: Sequence[Space], item: Item, portions: int) -> Space:
    """Return the first space with room: the one the rider wants, then where it already lies at no cost."""
    for space in spaces:
        wanted = space.container.name == item.carried_in
        if wanted and space.extra_slots(item, portions) <= space.free_slots:
            return space
    for space in spaces:
        if item.name in space.items and space.extra_slots(item, portions) <= max(0, space.free_slots):
            return space
    for space in spaces:
        if space.extra_slots(item, portions) <= space.free_slots:
            return space
    return max(spaces, key=lambda space: space.free_slots)


def _stow_powder(spaces: Sequence[Space], pours: Sequence[BottleFill]) -> None:
    """Put in one packet for each bottle that is mixed on the way."""
    for pour in pours:
        if pour.at_m > 0 and pour.powder_g > 0:
            space = next((each for each in spaces if each.free_slots > 0), spaces[0])
            space.packets.append(pour)


def _rows(space: Space, pantry: Pantry, day: Day) -> list[Packed]:
    rows = []
    for name, item in space.items.items():
        share = space.portions(name) / item.portions
        if share == 0:
            continue
        parted = day.purpose == "training" and share % 1.0 > 0.0
        rows.append(
            Packed(
                container=space.container.name,
                item=name,
                portions_planned=space.planned[name],
                portions_reserve=space.kept[name],
                items=share,
                carbohydrate_g=share * item.carbohydrate_g,
                mass_g=share * item.mass_g,
                form="bites in foil" if parted or is_in_foil(item, day) else "whole",
            )
        )
    for name in dict.fromkeys(pour.item for pour in space.packets):
        packets = [pour for pour in space.packets if pour.item == name]
        powder_g = sum(pour.powder_g for pour in packets)
        rows.append(
            Packed(
                container=space.container.name,
                item=name,
                portions_planned=len(packets),
                portions_reserve=0,
                items=powder_g / pantry.item(name).powder_g,
                carbohydrate_g=sum(pour.carbohydrate_g for pour in packets),
                mass_g=powder_g,
                form="powder",
            )
        )
    return rows


def _reserve(row: Packed, pantry: Pantry) -> Reserve:
    carbohydrate_g = row.portions_reserve * pantry.item(row.item).portion_carbohydrate_g
    return Reserve(row.item, row.container, row.portions_reserve, carbohydrate_g)


def _overfull(spaces: Sequence[Space], length_m: float) -> tuple[Violation, ...]:
    """Return what does not fit, as one violation."""
    over = _over(spaces)
    if over == 0:
        return ()
    held = sum(s.container.holds_items for s in spaces if s.container.reach == "riding")
    sentence = fact("full_pockets", over=over, held=held)
    return (broken(OVERFULL, 0.0, length_m, float(over), "items", sentence),)


def _over(spaces: Sequence[Space]) -> int:
    """Return how many pieces are more than fit."""
    return sum(max(0, -space.free_slots) for space in spaces)


def _bag_notice(spaces: Sequence[Space]) -> tuple[Fact, ...]:
    """Say why a bag in reach is taken beside pockets: they are full."""
    bags = [
        s.container.name
        for s in spaces
        if s.items and s.container.kind == "bag" and s.container.reach == "riding"
    ]
    if not bags or not any(_is_pocket_in_reach(s.container) for s in spaces):
        return ()
    return (fact("bag_needed", container=bags[0]),)
