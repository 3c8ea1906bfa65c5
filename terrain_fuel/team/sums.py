"""All plans of a team added up: what to buy, who gets what, which bottle goes to whom and where."""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from terrain_fuel.pantry import Pantry
from terrain_fuel.team.shares import Shared, kitchens_of, shares_of
from terrain_fuel.team.takings import Filled, Given, Takings


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of the shopping list, over all riders and days.

    ``needed`` and ``stock`` are whole items, of a drink mix grams of powder; ``short`` is what is missing.
    """

    kitchen: str
    item: str
    is_powder: bool
    needed: float
    stock: float

    @property
    def short(self) -> float:
        """What has to be bought."""
        return max(0.0, self.needed - self.stock)


@dataclass(frozen=True, slots=True)
class Bottle:
    """One numbered bottle: what is in it, whose it is, and where it is handed up ("" on the bicycle).

    ``frozen_ml`` of it is frozen the evening before, the rest filled up in the morning.
    """

    stage: str
    kitchen: str
    number: int
    rider: str
    container: str
    item: str
    fluid_ml: float
    powder_g: float
    feed: str
    at_m: float
    frozen_ml: float = 0.0


@dataclass(frozen=True, slots=True)
class Handing:
    """One line of a helper's table: rider, window, numbered bottles, food, and what comes back.

    ``about_s`` is the planned moment after the start of the stage, ``about`` the same by the clock;
    ``left_ml`` is what the plan has left in the bottles that come back.
    """

    stage: str
    feed: str
    at_m: float
    rider: str
    early: str
    late: str
    about: str
    about_s: float
    bottles: tuple[Bottle, ...]
    food: tuple[Given, ...]
    left_ml: float

    @property
    def back(self) -> int:
        """Bottles that come back: one for each that is handed up."""
        return len({bottle.container for bottle in self.bottles})


@dataclass(frozen=True, slots=True)
class Loaded:
    """What the car takes to one place: bottles by number, food as pieces by item, riders served."""

    stage: str
    feed: str
    at_m: float
    numbers: tuple[int, ...]
    fluid_ml: float
    food: tuple[Given, ...]
    bags: tuple[str, ...]
    left_ml: float


@dataclass(frozen=True, slots=True)
class Sums:
    """All of it, in the order of the stages."""

    shopping: tuple[Bought, ...]
    kitchen: tuple[Shared, ...]
    bottles: tuple[Bottle, ...]
    handings: tuple[Handing, ...]
    car: tuple[Loaded, ...]


def add_up(takings: Sequence[Takings], kitchens: Mapping[str, Pantry]) -> Sums:
    """Return the sums over all plans of a team.

    Parameters
    ----------
    takings : one of each rider and stage, in the order of the stages
    kitchens : stock by the kitchen's name
    """
    stages = tuple(dict.fromkeys(each.stage for each in takings))
    by_stage = {stage: [each for each in takings if each.stage == stage] for stage in stages}
    bottles = tuple(bottle for here in by_stage.values() for bottle in _numbered(here))
    handings = tuple(each for here in by_stage.values() for each in _handings(here, bottles))
    return Sums(
        shopping=tuple(_shopping(takings, kitchens)),
        kitchen=tuple(each for here in by_stage.values() for each in shares_of(here)),
        bottles=bottles,
        handings=handings,
        car=tuple(_car(handings)),
    )


def _shopping(takings: Sequence[Takings], kitchens: Mapping[str, Pantry]) -> Iterable[Bought]:
    """Yield what each kitchen has to have: every rider's items whole each day, powder by weight."""
    whole: dict[tuple[str, str], float] = defaultdict(float)
    powder: dict[tuple[str, str], float] = defaultdict(float)
    for each in takings:
        for item, items in _eaten(each).items():
            whole[each.kitchen, item] += math.ceil(round(items, 6))
        handed = (bottle for handing in each.handed_up for bottle in handing.bottles)
        for filled in (*each.bottles, *handed):
            if filled.powder_g:
                powder[each.kitchen, filled.item] += filled.powder_g
    for (kitchen, item), needed in whole.items():
        yield Bought(kitchen, item, False, needed, float(kitchens[kitchen].item(item).count))
    for (kitchen, item), needed in powder.items():
        stock = kitchens[kitchen].item(item)
        yield Bought(kitchen, item, True, needed, stock.count * stock.powder_g)


def _eaten(each: Takings) -> dict[str, float]:
    """Return the items of each food that one rider takes on one stage, carried or handed up."""
    items: dict[str, float] = defaultdict(float)
    for carried in each.carried:
        if not carried.powder_g:
            items[carried.item] += carried.items
    for handing in each.handed_up:
        for given in handing.food:
            items[given.item] += given.pieces / given.cut_into
    return items


def _numbered(here: Sequence[Takings]) -> Iterable[Bottle]:
    """Yield one stage's bottles from the van in numbered order: by kitchen, content, where they go and whose.

    Bottles filled at a tap or a shop on the way are the rider's own business and have no number.
    """
    found: list[Bottle] = []
    for each in here:
        found.extend(_bottle(each, filled, "", 0.0) for filled in each.bottles if filled.at_m == 0.0)
        for handing in each.handed_up:
            found.extend(_bottle(each, filled, handing.feed, handing.at_m) for filled in handing.bottles)
    kitchens = kitchens_of(here)
    found.sort(
        key=lambda each: (
            kitchens.index(each.kitchen), *_content(each), each.at_m, each.rider, each.container
        )
    )  # fmt: skip
    return (replace(bottle, number=number) for number, bottle in enumerate(found, start=1))


def _content(each: Bottle) -> tuple[str, float, float, float]:
    """Return what a bottle holds, as finely as anybody measures it: to ten millilitres and a gram."""
    return each.item, round(each.fluid_ml, -1), round(each.powder_g), round(each.frozen_ml, -1)


def _bottle(each: Takings, filled: Filled, feed: str, at_m: float) -> Bottle:
    return Bottle(
        each.stage, each.kitchen, 0, each.rider, filled.container, filled.item, filled.fluid_ml,
        filled.powder_g, feed, at_m, filled.frozen_ml,
    )  # fmt: skip


def _handings(here: Sequence[Takings], bottles: Sequence[Bottle]) -> Iterable[Handing]:
    """Yield one stage's handings up, feed by feed along the road, who comes first first."""
    found = [
        Handing(
            each.stage,
            handing.feed,
            handing.at_m,
            each.rider,
            handing.early,
            handing.late,
            handing.about,
            handing.about_s,
            tuple(
                bottle
                for bottle in bottles
                if (bottle.stage, bottle.rider, bottle.feed, bottle.at_m)
                == (each.stage, each.rider, handing.feed, handing.at_m)
            ),
            handing.food,
            handing.left_ml,
        )
        for each in here
        for handing in each.handed_up
    ]
    return sorted(found, key=lambda each: (each.at_m, each.feed, each.early, each.about, each.rider))


def _in_hand(given: Given) -> int:
    """Return the pieces that go along for one rider: what is not cut goes whole."""
    if given.form == "bites in foil":
        return given.pieces
    return math.ceil(given.pieces / given.cut_into) * given.cut_into


def _car(handings: Sequence[Handing]) -> Iterable[Loaded]:
    """Yield what the car takes to each feed zone of each stage."""
    for (stage, at_m, feed), grouped in groupby(
        handings, key=lambda each: (each.stage, each.at_m, each.feed)
    ):
        here = list(grouped)
        food: dict[tuple[str, int, str], Given] = {}
        for each in here:
            for given in each.food:
                key = given.item, given.cut_into, given.form
                before = food[key].pieces if key in food else 0
                food[key] = replace(given, pieces=before + _in_hand(given))
        bottles = [bottle for each in here for bottle in each.bottles]
        yield Loaded(
            stage,
            feed,
            at_m,
            tuple(sorted(bottle.number for bottle in bottles)),
            sum(bottle.fluid_ml for bottle in bottles),
            tuple(food.values()),
            tuple(each.rider for each in here if each.food),
            sum(each.left_ml for each in here),
        )
