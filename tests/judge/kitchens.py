"""Who rides the made days, with what in the kitchen and in the cages: all invented, as plain tables."""

from collections.abc import Callable, Mapping, Sequence
from random import Random
from typing import Any

Table = dict[str, Any]

POCKETS: list[Table] = [
    {"name": "left pocket", "kind": "pocket", "holds_items": 8},
    {"name": "middle pocket", "kind": "pocket", "holds_items": 8},
    {"name": "right pocket", "kind": "pocket", "holds_items": 8},
    {"name": "bar bag", "kind": "bag", "holds_items": 25},
]


def toml_text(tables: Mapping[str, Any]) -> str:
    """Return tables and lists of tables as TOML text."""
    lines: list[str] = []
    for name, content in tables.items():
        many = content if isinstance(content, list) else [content]
        head = f"[[{name}]]" if isinstance(content, list) else f"[{name}]"
        for table in many:
            lines += [head, *(f"{key} = {_value(value)}" for key, value in table.items()), ""]
    return "\n".join(lines)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return "[" + ", ".join(_value(entry) for entry in value) + "]"
    return f'"{value}"' if isinstance(value, str) else str(value)


def _rider(habits: Table | None = None, **body: Any) -> Table:
    return {"rider": body, "habits": habits or {}}


def _practised(rng: Random) -> Table:
    return _rider(
        ftp_w=rng.randint(210, 260),
        body_mass_kg=float(rng.randint(62, 78)),
        carbohydrate_limit_g_per_h=75.0,
        descending="practised",
    )


def _beginner(rng: Random) -> Table:
    return _rider(
        {"first_food_min": 30.0, "eat_every_min": rng.choice((20.0, 25.0, 30.0)), "longest_gap_min": 35.0},
        ftp_w=rng.randint(140, 180),
        body_mass_kg=float(rng.randint(60, 92)),
        carbohydrate_limit_g_per_h=float(rng.choice((30, 40, 50))),
        descending="cautious",
    )


def _trained(rng: Random) -> Table:
    limit = float(rng.choice((90, 100, 110)))
    return _rider(
        {"first_food_min": 20.0, "eat_every_min": rng.choice((15.0, 20.0)), "longest_gap_min": 30.0},
        ftp_w=rng.randint(270, 330),
        body_mass_kg=float(rng.randint(62, 76)),
        carbohydrate_limit_g_per_h=limit,
        limit_above_90=limit > 90,
        descending="practised",
        sweat_rate_ml_per_h=float(rng.randint(650, 1000)),
    )


def _light(rng: Random) -> Table:
    return _rider(
        {"sip_ml": 40.0},
        ftp_w=rng.randint(160, 200),
        body_mass_kg=float(rng.randint(48, 56)),
        height_m=1.62,
        carbohydrate_limit_g_per_h=60.0,
        mixed_sugars=rng.random() < 0.7,
        descending="steady",
    )


def _coffee(rng: Random) -> Table:
    return _rider(
        ftp_w=rng.randint(200, 250),
        body_mass_kg=float(rng.randint(66, 84)),
        carbohydrate_limit_g_per_h=70.0,
        caffeine_mg_max=float(rng.choice((100, 150, 200))),
        descending="steady",
    )


RIDERS: Mapping[str, Callable[[Random], Table]] = {
    "practised": _practised,
    "beginner": _beginner,
    "trained": _trained,
    "light": _light,
    "caffeine": _coffee,
}


def rider_kind(rng: Random, purpose: str, is_long: bool) -> str:
    """Return who rides such a day; beginners race seldom, and not all day long."""
    if purpose == "race":
        return rng.choice(("trained", "trained", "practised", "light", "caffeine", "beginner"))
    if is_long:
        return rng.choice(("practised", "trained", "light", "caffeine"))
    return rng.choice(("practised", "beginner", "beginner", "light", "caffeine", "trained"))


def _food(name: str, kind: str, carbohydrate_g: float, **more: Any) -> Table:
    return {"name": name, "kind": kind, "carbohydrate_g": carbohydrate_g, **more}


def _mix(rng: Random) -> Table:
    strength = rng.choice(((30.0, 32.0, 500.0), (38.0, 40.0, 750.0), (40.0, 42.0, 500.0)))
    carbohydrate_g, powder_g, water_ml = strength
    salt = {"sodium_mg": round(0.6 * water_ml), "powder_g": powder_g, "water_ml": water_ml}
    return _food("field mix", "drink_mix", carbohydrate_g, **salt)


def _gels(rng: Random) -> Table:
    size_g = rng.choice((22.0, 25.0, 30.0, 40.0))
    return _food("plain gel", "gel", size_g, sodium_mg=60, soft=True, sugars="mixed")


def _cut(rng: Random) -> list[Table]:
    return [
        _food("oat square", "solid", 30.0, portions=2, timing="early", sodium_mg=40),
        _food("salted potato", "solid", 24.0, portions=2, taste="salty", soft=True, sodium_mg=300),
        _food("fig slice", "chew", 14.0, soft=True),
        _food("barley sugar", "chew", 18.0, timing="final_hour"),
        {**_gels(rng), "timing": "late"},
        _mix(rng),
    ]


def _uncut(rng: Random) -> list[Table]:
    return [
        _food("oat square", "solid", rng.choice((26.0, 32.0, 43.0)), sodium_mg=60),
        _food("chestnut loaf", "solid", 28.0, soft=True, taste="neutral", sodium_mg=150),
        _gels(rng),
        _mix(rng),
    ]


def _gels_and_mix(rng: Random) -> list[Table]:
    return [_gels(rng), _mix(rng)]


def _mix_only(rng: Random) -> list[Table]:
    return [_mix(rng)]


def _rolls(rng: Random) -> list[Table]:
    return [
        _food(
            "filled chestnut roll", "solid", 44.0, portions=rng.choice((1, 2, 3)), soft=True, sodium_mg=250
        ),
        _food("dried pear", "chew", 15.0, soft=True),
        _gels(rng),
        _mix(rng),
    ]


def _no_mix(rng: Random) -> list[Table]:
    return [
        _food("oat square", "solid", 30.0, portions=2, sodium_mg=40),
        _food("semolina cube", "solid", 16.0, soft=True, sodium_mg=50),
        _food("fig slice", "chew", 14.0, soft=True),
        _gels(rng),
    ]


KITCHENS: Mapping[str, Callable[[Random], list[Table]]] = {
    "cut": _cut,
    "uncut": _uncut,
    "gels": _gels_and_mix,
    "mix only": _mix_only,
    "rolls": _rolls,
    "no mix": _no_mix,
}
CAFFEINE_GEL = _food("caffeine gel", "gel", 25.0, caffeine_mg=50, timing="late", soft=True, sodium_mg=60)


def stocked(rng: Random, hours: float, rider: Table, purpose: str, is_long: bool) -> tuple[str, list[Table]]:
    """Return a kitchen and its items, with about as much of each as the day wants twice over.

    One kitchen in twelve holds too little: the plan must then name the stock as what limits it. On a
    long day half is taken along, for nobody carries it all: the rest is to be bought on the road.
    """
    names = ("cut", "uncut", "gels", "rolls", "mix only") if purpose == "race" else tuple(KITCHENS)
    kitchen = rng.choice(("cut", "uncut", "rolls") if is_long else names)
    foods = KITCHENS[kitchen](rng)
    if rider["rider"].get("caffeine_mg_max"):
        foods.append(dict(CAFFEINE_GEL))
    wanted_g = hours * min(90.0, rider["rider"]["carbohydrate_limit_g_per_h"])
    thin = rng.random() < 1.0 / 12.0
    for food in foods:
        share = (0.35 if thin else 0.5 if is_long else 2.0) / len(foods)
        food["count"] = max(2, round(share * wanted_g / food["carbohydrate_g"]))
    return f"{kitchen}, thin" if thin else kitchen, [*foods, _food("water", "water", 0.0, fluid_ml=1000)]


def cages(rng: Random, weather: str, hours: float) -> tuple[list[Table], float]:
    """Return the bottles and what they hold in all [ml]; one bottle only on a short cool day."""
    sizes: Sequence[int] = rng.choice(((750, 750), (500, 500), (750, 500), (950, 750)))
    if weather in ("mild", "cold", "wet") and hours < 4.5 and rng.random() < 0.3:
        sizes = sizes[:1]
    names = ("front bottle", "rear bottle")
    bottles: list[Table] = [
        {"name": name, "kind": "bottle", "holds_ml": size} for name, size in zip(names, sizes, strict=False)
    ]
    if rng.random() < 0.25:
        bottles.append({"name": "spare bottle", "kind": "bottle", "holds_ml": 500, "reach": "stopped"})
    return bottles, float(sum(bottle["holds_ml"] for bottle in bottles))
