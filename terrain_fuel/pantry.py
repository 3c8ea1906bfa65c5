"""The foods, drinks and containers at hand, each with its portions."""

from dataclasses import dataclass, field
from typing import Literal, get_args

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.item_kinds import ITEM_KINDS, ItemKind
from terrain_fuel.ranges import check_fields, one_of, ranged, told

Sugars = Literal["single", "mixed"]
Timing = Literal["early", "any", "late", "final_hour"]
Taste = Literal["sweet", "salty", "neutral"]
ContainerKind = Literal["bottle", "pocket", "bag"]
Reach = Literal["riding", "stopped"]

WATER_NAME = "water"

LONGEST_SHORT = 14
"""Letters that a short name may have, so that it stands on a narrow strip in large type."""


@dataclass(frozen=True, slots=True)
class Item:
    """One food or drink. Quantities are for one whole item.

    A ``drink_mix`` counts by servings: ``powder_g`` in ``water_ml`` is the strength on the
    packet, and carbohydrate, sodium and caffeine are what that serving brings.
    ``portions`` is the number of bites an item is cut into; ``count`` how many are in stock.
    ``source`` is "label" or the key of a food table in REFERENCES.md. ``short`` is what the
    rider calls it where room is short; without one a short name is made from the name.
    ``carried_in`` names the pocket or bag in which the rider wants it.
    """

    name: str = told(meaning="what you know it by; no two alike")
    kind: str = one_of(
        "solid",
        ITEM_KINDS,
        meaning="solid, chew and gel are eaten, the others drunk; a mix is powder for water",
    )
    carbohydrate_g: float = ranged(0.0, 0.0, 200.0, "g", meaning="carbohydrate in one, or in one serving")
    fluid_ml: float = ranged(0.0, 0.0, 3000.0, "ml", meaning="fluid in one")
    sodium_mg: float | None = ranged(
        None, 0.0, 5000.0, "mg", meaning="sodium in one; 1 g of salt is 393 mg; left out it is not known"
    )
    caffeine_mg: float = ranged(0.0, 0.0, 400.0, "mg", meaning="caffeine in one")
    sugars: Sugars = one_of("mixed", get_args(Sugars), meaning="one kind of sugar or two")
    count: int = ranged(1, 0, 1000, "items", meaning="how many are at home")
    portions: int = ranged(1, 1, 20, "bites", meaning="bites one is cut into")
    timing: Timing = one_of("any", get_args(Timing), meaning="when on a ride it goes down best")
    taste: Taste = one_of("sweet", get_args(Taste), meaning="for variety")
    soft: bool = told(False, meaning="needs no chewing while breathing hard")
    one_handed: bool = told(True, meaning="opens and eats with one hand")
    mass_g: float = ranged(0.0, 0.0, 2000.0, "g", meaning="what one weighs")
    powder_g: float = ranged(0.0, 0.0, 500.0, "g", meaning="powder to a serving, as the packet says")
    water_ml: float = ranged(0.0, 0.0, 3000.0, "ml", meaning="water to a serving, as the packet says")
    source: str = told("label", meaning="label, or the key of a food table")
    short: str = told("", meaning="name of at most 14 letters for the sticker")
    carried_in: str = told(
        "", meaning="pocket or bag it goes into while there is room; empty: the plan chooses"
    )

    def __post_init__(self) -> None:
        check_fields(self)
        if not self.name.strip():
            raise SettingsError(
                "name is empty; every item needs a name the rider will know it by", fact("refused_no_name")
            )
        if len(self.short) > LONGEST_SHORT:
            raise SettingsError(
                f"short is {self.short!r}, {len(self.short)} letters long; allowed are {LONGEST_SHORT};"
                " leave some out",
                fact("refused_short", most=LONGEST_SHORT),
            )
        if self.traits.from_powder and (self.powder_g <= 0 or self.water_ml <= 0):
            raise SettingsError(
                f"{self.name!r} is a {self.kind} with powder_g {self.powder_g:g} and water_ml"
                f" {self.water_ml:g}; both must be above 0: copy the strength printed on the packet",
                fact("refused_strength", item=self.name),
            )

    @property
    def traits(self) -> ItemKind:
        """What is true of everything of its kind."""
        return ITEM_KINDS[self.kind]

    @property
    def is_food(self) -> bool:
        """True for what is bitten, chewed or swallowed rather than drunk."""
        return self.traits.eaten

    @property
    def counted_sodium_mg(self) -> float:
        """Sodium in one as it is added up: none where it is not known [mg]."""
        return self.sodium_mg or 0.0

    @property
    def serving_ml(self) -> float:
        """How much drink one item of stock makes [ml]."""
        return self.water_ml if self.traits.from_powder else self.fluid_ml

    @property
    def portion_carbohydrate_g(self) -> float:
        """Carbohydrate in one bite [g]."""
        return self.carbohydrate_g / self.portions

    @property
    def stock_portions(self) -> int:
        """Bites in stock."""
        return self.count * self.portions


@dataclass(frozen=True, slots=True)
class Container:
    """A bottle, a pocket or a bag; ``reach`` says whether the hand gets to it while riding."""

    name: str = told(meaning="what you call it; no two alike")
    kind: ContainerKind = one_of("pocket", get_args(ContainerKind), meaning="a bottle, a pocket or a bag")
    holds_ml: float = ranged(0.0, 0.0, 3000.0, "ml", meaning="what a bottle holds")
    holds_items: int = ranged(0, 0, 100, "items", meaning="items a pocket or bag holds")
    reach: Reach = one_of("riding", get_args(Reach), meaning="whether the hand gets to it while riding")

    def __post_init__(self) -> None:
        check_fields(self)
        if not self.name.strip():
            raise SettingsError(
                "name is empty; every bottle, pocket and bag needs one that it is called by",
                fact("refused_no_name"),
            )
        if self.kind == "bottle" and self.holds_ml <= 0:
            raise SettingsError(
                f"{self.name!r} is a bottle with holds_ml 0; say how much it holds",
                fact("refused_no_bottle", name=self.name),
            )


@dataclass(frozen=True, slots=True)
class Pantry:
    """What the rider can choose from and carry it in. Names are unique.

    ``left`` are pieces that stay at home because no pocket holds them, by name; the items count without them.
    """

    items: tuple[Item, ...] = field(default_factory=lambda: DEFAULT_ITEMS)
    containers: tuple[Container, ...] = field(default_factory=lambda: DEFAULT_CONTAINERS)
    left: tuple[tuple[str, int], ...] = ()

    def __post_init__(self) -> None:
        check_fields(self)
        for label, things in (("item", self.items), ("container", self.containers)):
            names = [thing.name for thing in things]
            twice = sorted({name for name in names if names.count(name) > 1})
            if twice:
                raise SettingsError(
                    f"{label} name {twice[0]!r} is there twice; give each its own name",
                    fact("refused_twice", name=twice[0]),
                )
        carriers = [each.name for each in self.containers if each.kind != "bottle"]
        for item in self.items:
            if item.carried_in and item.carried_in not in carriers:
                raise SettingsError(
                    f"{item.name!r} is carried_in {item.carried_in!r}; allowed is {', '.join(carriers)};"
                    " name one of these, or leave it out"
                )

    def item(self, name: str) -> Item:
        """Return the item of that name.

        Raises
        ------
        SettingsError
            If there is none.
        """
        for item in self.items:
            if item.name == name:
                return item
        if name == WATER_NAME:
            return WATER
        raise SettingsError(f"no item is called {name!r}; there are: {', '.join(i.name for i in self.items)}")

    @property
    def foods(self) -> tuple[Item, ...]:
        """Items to bite, chew or swallow, with at least one in stock."""
        return tuple(item for item in self.items if item.is_food and item.count > 0)

    @property
    def bottles(self) -> tuple[Container, ...]:
        """Containers that hold fluid."""
        return tuple(container for container in self.containers if container.kind == "bottle")


WATER = Item(WATER_NAME, "water", fluid_ml=1000.0, sodium_mg=0.0, taste="neutral", source="label")

# Available carbohydrate (fibre left out) per 100 g, from the French table [Ciqual20]_: cereal bar with
# fruit 73.5, packed brioche 52.7 (sodium 401 mg), spice bread 71.5 (sodium 189 mg), raisins 73.2; and
# total less fibre from the American table [SR28]_: dried fig 63.87 - 9.8, dried pear 69.7 - 7.5,
# roasted chestnut 52.96 - 5.1, boiled potato 20.01 - 1.8, hard sugar 98.0 - 0 (the fibres of pear and
# potato, the chestnut and the sugar from memory). Portion masses are ordinary kitchen sizes: common
# practice (no source).
DEFAULT_ITEMS: tuple[Item, ...] = (
    # 55 g milk loaf, as packed brioche, + 30 g chestnuts: 0.55 * 52.7 + 0.3 * 47.86 = 43.3 g
    Item(
        "chestnut loaf",
        "solid",
        43.3,
        sodium_mg=221,
        count=3,
        portions=2,
        timing="early",
        soft=True,
        mass_g=85,
        source="Ciqual20, SR28",
        short="nut loaf",
    ),
    # 40 g, as a cereal bar: 0.4 * 73.5 = 29.4 g
    Item(
        "oat square",
        "solid",
        29.4,
        sodium_mg=40,
        count=5,
        portions=2,
        timing="early",
        mass_g=40,
        source="Ciqual20",
    ),
    # 140 g boiled without skin, with 0.4 g salt (393.4 mg sodium a gram): 1.4 * 18.21 = 25.5 g
    Item(
        "salted potato",
        "solid",
        25.5,
        sodium_mg=157,
        sugars="single",
        count=5,
        portions=2,
        taste="salty",
        soft=True,
        mass_g=140,
        source="SR28",
        short="potato",
    ),
    # 30 g slice: 0.3 * 71.5 = 21.5 g
    Item(
        "spice loaf",
        "solid",
        21.5,
        sodium_mg=57,
        count=4,
        portions=1,
        timing="early",
        soft=True,
        mass_g=30,
        source="Ciqual20",
    ),
    # two halves, 37 g: 0.37 * 62.2 = 23.0 g
    Item("dried pear", "solid", 23.0, sodium_mg=2, count=2, portions=2, soft=True, mass_g=37, source="SR28"),
    # a slice of pressed dried figs, 28 g: 0.28 * 54.07 = 15.1 g
    Item("fig slice", "chew", 15.1, sodium_mg=3, count=8, soft=True, mass_g=28, source="SR28"),
    # 21 g raisins, minced and rolled: 0.21 * 73.2 = 15.4 g; hardly any sodium
    Item(
        "raisin ball",
        "chew",
        15.4,
        sodium_mg=0,
        count=6,
        timing="late",
        soft=True,
        mass_g=21,
        source="Ciqual20",
    ),
    Item("plain gel", "gel", 25.0, sodium_mg=60, count=4, timing="late", soft=True, mass_g=40),
    Item(
        "caffeine gel",
        "gel",
        25.0,
        sodium_mg=60,
        caffeine_mg=50,
        count=2,
        timing="late",
        soft=True,
        mass_g=40,
    ),
    # four drops of 5 g: 0.2 * 98.0 = 19.6 g
    Item(
        "barley sugar",
        "chew",
        19.6,
        sodium_mg=8,
        count=4,
        timing="final_hour",
        mass_g=20,
        source="SR28",
        short="sugar",
    ),
    # 38 g carbohydrate and 450 mg sodium in 750 ml: 5.1 % and 600 mg/l, inside [DGE20]_
    Item(
        "drink mix",
        "drink_mix",
        38.0,
        sodium_mg=450,
        count=8,
        mass_g=40,
        powder_g=40,
        water_ml=750,
        short="mix",
    ),
    WATER,
)

DEFAULT_CONTAINERS: tuple[Container, ...] = (
    Container("front bottle", "bottle", holds_ml=750),
    Container("rear bottle", "bottle", holds_ml=750),
    Container("spare bottle", "bottle", holds_ml=500, reach="stopped"),
    Container("left pocket", "pocket", holds_items=6),
    Container("middle pocket", "pocket", holds_items=6),
    Container("right pocket", "pocket", holds_items=6),
    Container("bar bag", "bag", holds_items=12),
    Container("saddle pouch", "bag", holds_items=10, reach="stopped"),
)
