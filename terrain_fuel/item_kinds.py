"""The kinds of food and drink: a row a kind, and everything that depends on a kind is in its row."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ItemKind:
    """What is true of everything of one kind; see the table for the kinds.

    Parameters
    ----------
    eaten : bitten, chewed or swallowed, a bite at a time; else drunk from a bottle
    slow : solid and slowly digested: first on a ride, never in the final hour
    unchewed : goes down without chewing: quick sugar, not for the start and not one after another
    cut_for_race : cut into bites and wrapped in foil for a race
    reserve_turn : which kind is sooner kept for a reserve, the lowest first: what keeps for weeks
        and goes down without chewing
    brings_energy : a drink worth filling a bottle with for what is in it, which water is not
    from_powder : carried as powder and mixed on the way, ``powder_g`` in ``water_ml``
    endless : never short at home
    """

    eaten: bool = False
    slow: bool = False
    unchewed: bool = False
    cut_for_race: bool = False
    reserve_turn: int = 0
    brings_energy: bool = False
    from_powder: bool = False
    endless: bool = False


# Common practice (no source).
ITEM_KINDS: dict[str, ItemKind] = {
    "solid": ItemKind(eaten=True, slow=True, cut_for_race=True, reserve_turn=2),
    "chew": ItemKind(eaten=True, reserve_turn=1),
    "gel": ItemKind(eaten=True, unchewed=True, reserve_turn=0),
    "drink_mix": ItemKind(brings_energy=True, from_powder=True),
    "drink": ItemKind(brings_energy=True),
    "water": ItemKind(endless=True),
}
