"""A drawing as plain shapes, so that a page and a print can show the same one.

Coordinates are in the drawing's own unit (pixels on a page, millimetres in print), x to the
right and y down, from the top left corner. A ``role`` says what a shape stands for; the writer
of each medium gives it an ink and a line width.
"""

from dataclasses import dataclass
from typing import Literal

from terrain_fuel.plan import Action

Point = tuple[float, float]
Line = tuple[Point, ...]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Strokes:
    """Open lines of one role."""

    role: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Area:
    """A filled outline."""

    role: str
    outline: Line


@dataclass(frozen=True, slots=True)
class Label:
    """A text; ``y`` is its baseline and ``size`` its height."""

    role: str
    x: float
    y: float
    text: str
    size: float
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True)
class Mark:
    """A fuel point: an eat is a solid disc, a sip an open ring, a refill a square.

    ``radius`` is half its width, ``number`` the point's own, ``label`` what stands inside, if anything.
    """

    action: Action
    number: int
    label: str
    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True)
class Triangle:
    """The warning triangle, point up, around a centre; its outline is the general one of [ISO7010]_."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True)
class Dot:
    """A small mark of one role around a centre: a ride among others, a bite by the clock."""

    role: str
    x: float
    y: float
    radius: float


Shape = Strokes | Area | Label | Mark | Triangle | Dot


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in painting order on a sheet of a size."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
