"""A change that is being kept: planned while the disk takes it, and shown only once it has."""

from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field

from terrain_fuel.rides.ride_folder import RideSettings
from terrain_fuel.rides.steps import Head


@dataclass(frozen=True, slots=True)
class Coming:
    """What the settings files say or are about to, and which change that is: None if it could not be kept."""

    settings: RideSettings
    kept: "Future[int | None]" = field(default_factory=Future)

    @classmethod
    def held(cls, settings: RideSettings, change: int) -> "Coming":
        """Return what the settings files say already."""
        coming = cls(settings)
        coming.kept.set_result(change)
        return coming

    def keep(self, keeping: Callable[[], Head]) -> Head:
        """Keep the change and tell whoever plans it; what hinders it is raised."""
        change = None
        try:
            head = keeping()
            change = head.change
        finally:
            self.kept.set_result(change)
        return head
