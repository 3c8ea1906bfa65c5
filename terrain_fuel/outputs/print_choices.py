"""What a rider chooses of how the outputs are written."""

from dataclasses import dataclass

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.printed.sticker_size import strip_size
from terrain_fuel.text import plain_text

ALSO = {
    "tcx": "course.tcx",
    "fit": "course.fit",
    "csv": "rows.csv",
    "ics": "ride.ics",
    "strip-map": "strip-map.pdf",
}
"""Outputs written when asked for, and the files they go to."""


@dataclass(frozen=True, slots=True)
class PrintChoices:
    """How the outputs are written; none of it changes the plan. What cannot be is said at once.

    ``also`` names further outputs, of `ALSO`. ``sips`` puts every sip among the waypoints and course points,
    ``whole_line`` every point of the route into the files that hold it. ``picture`` adds
    the strips and the strip map as pictures for a phone.
    """

    paper: str = "A4"
    sticker_size: str = "stem"
    sticker_upward: bool = True
    online_tiles: bool = False
    also: tuple[str, ...] = ()
    sips: bool = False
    whole_line: bool = False
    picture: bool = False

    def __post_init__(self) -> None:
        strip_size(self.sticker_size)
        for name in self.also:
            if name not in ALSO:
                raise OutputError(
                    f"also: {plain_text(name)!r} is no output; allowed are {', '.join(ALSO)}; correct it"
                )
        if "fit" in self.also:
            from terrain_fuel.outputs.data.course_fit import refuse_without_fit_tool

            refuse_without_fit_tool()
