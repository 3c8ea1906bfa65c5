"""What the sticker says of the bottles filled at a halt: each by its sign, with its drink and how much."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from terrain_fuel.outputs.bottle_signs import bottle_signs
from terrain_fuel.outputs.handovers import filled_at
from terrain_fuel.outputs.names import fit_text
from terrain_fuel.outputs.printed.cues import Cue
from terrain_fuel.outputs.printed.fonts import sayable
from terrain_fuel.outputs.printed.sayings import item_sayings, own_names
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan


@dataclass(frozen=True, slots=True)
class Pour:
    """What goes into one bottle at a halt: its sign, the drink's name, and how many ml."""

    sign: str
    drink: str
    ml: str

    @property
    def wordings(self) -> list[str]:
        """What could be said of it: "F water 600", "F 600"."""
        short = fit_text(self.drink, 5)
        return [
            f"{self.sign} {self.drink} {self.ml}",
            f"{self.sign} {short} {self.ml}",
            f"{self.sign} {self.ml}",
        ]


def in_one_line(pours: Sequence[Pour]) -> Iterator[str]:
    """Yield how a halt's bottles are told on one line; a drink for all is said once: "mix F 610 · R 470"."""
    yield " · ".join(pour.wordings[0] for pour in pours)
    if len({pour.drink for pour in pours}) == 1:
        amounts = [f"{pour.sign} {pour.ml}" for pour in pours]
        for drink in dict.fromkeys((pours[0].drink, fit_text(pours[0].drink, 5))):
            yield f"{drink} {' · '.join(amounts)}"
            yield f"{drink} {' '.join(amounts)}"


def pours_of(plan: Plan, cue: Cue) -> list[Pour]:
    """Return what goes into each bottle filled at a halt."""
    signs = bottle_signs(bottle.name for bottle in plan.pantry.bottles)
    own, words = own_names(plan.pantry), words_for(plan.rider)
    sayings = item_sayings(plan.pantry, words)
    pours = []
    for each in filled_at(plan, cue.row.points):
        drink = own.get(each.item) or sayings.get(each.item) or sayable(each.item, words.label("item"))
        pours.append(Pour(signs[each.container], drink, f"{round(each.fluid_ml, -1):.0f}"))
    return pours
