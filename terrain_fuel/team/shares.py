"""Who gets how many pieces of which food of an evening, out of which kitchen."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from terrain_fuel.team.takings import Takings


@dataclass(frozen=True, slots=True)
class Shared:
    """One food of one evening out of one kitchen: who gets how many pieces, how it is cut and wrapped.

    Of drink mix for taps on the way the pieces are bags of ``powder_g`` each; ``feed`` is where it is handed
    up, "" for what is carried from the start on.
    """

    stage: str
    kitchen: str
    item: str
    form: str
    cut_into: int
    items: float
    shares: tuple[tuple[str, int, int], ...]
    powder_g: float = 0.0
    feed: str = ""

    @property
    def pieces(self) -> int:
        """All pieces, spare ones too."""
        return sum(pieces + spare for _, pieces, spare in self.shares)


def shares_of(here: Sequence[Takings]) -> Sequence[Shared]:
    """Return one evening's foods kitchen by kitchen, each with who gets how many."""
    found: dict[Shared, Shared] = {}
    for each in here:
        for food, items, pieces, spare in _portions(each):
            before = found.get(food, food)
            shares = _with_share(before.shares, each.rider, pieces, spare)
            found[food] = replace(before, items=before.items + items, shares=shares)
    kitchens = kitchens_of(here)
    return sorted(
        found.values(), key=lambda shared: (kitchens.index(shared.kitchen), *_in_kitchen_order(shared))
    )


def _portions(each: Takings) -> Iterable[tuple[Shared, float, int, int]]:
    """Yield one rider's foods, shared with nobody yet, and the items, pieces and spare pieces of them."""
    nobodys = Shared(each.stage, each.kitchen, "", "", 1, 0.0, ())
    for carried in each.carried:
        if not carried.powder_g:
            food = replace(nobodys, item=carried.item, form=carried.form, cut_into=carried.cut_into)
            yield food, carried.items, carried.pieces, carried.spare
    for bag in (filled for filled in each.bottles if filled.at_m > 0 and filled.powder_g > 0):
        yield replace(nobodys, item=bag.item, form="powder", powder_g=round(bag.powder_g, 1)), 0.0, 1, 0
    for handing in each.handed_up:
        for given in handing.food:
            food = replace(nobodys, item=given.item, form=given.form, cut_into=given.cut_into)
            items = given.pieces / given.cut_into
            yield replace(food, feed=handing.feed), items, given.pieces, 0


def kitchens_of(here: Iterable[Takings]) -> list[str]:
    """Return the kitchens in the order in which they are eaten out of."""
    return list(dict.fromkeys(each.kitchen for each in here))


def _in_kitchen_order(shared: Shared) -> tuple[bool, str, str, str, int, float]:
    """Return what is carried first, then what is handed up, feed by feed."""
    return bool(shared.feed), shared.feed, shared.form, shared.item, shared.cut_into, shared.powder_g


def _with_share(
    shares: tuple[tuple[str, int, int], ...], rider: str, pieces: int, spare: int
) -> tuple[tuple[str, int, int], ...]:
    if shares and shares[-1][0] == rider:  # a second pocket of the same rider
        return (*shares[:-1], (rider, shares[-1][1] + pieces, shares[-1][2] + spare))
    return (*shares, (rider, pieces, spare))
