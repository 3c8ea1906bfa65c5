"""A sip: some mouthfuls from one bottle at one place, and why."""

from dataclasses import dataclass

from terrain_fuel.drink.levels import Draught
from terrain_fuel.drink.sip_places import SipPlace
from terrain_fuel.facts import Fact, fact
from terrain_fuel.rules.model import SipKind

REASONS: dict[SipKind, Fact] = {
    "bite": fact("sip_with_the_bite"),
    "climb": fact("sip_on_the_way_up"),
    "steady": fact("sip_little_and_often"),
    "refill": fact("sip_before_the_halt"),
}


@dataclass(frozen=True, slots=True)
class Sip:
    """Some mouthfuls from one bottle at one place."""

    place: SipPlace
    draught: Draught
    mouthfuls: int
    emptied: bool = False
    finishes: bool = False
    """True where it empties a bottle that is filled in a moment."""

    @property
    def reason(self) -> Fact:
        """How the rider is told."""
        if self.finishes:
            return fact("sip_the_rest", container=self.draught.container)
        return REASONS[self.place.kind]
