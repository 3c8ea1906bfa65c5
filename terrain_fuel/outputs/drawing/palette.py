"""The inks of every output: one ink on paper, and four of the Okabe-Ito set [OI08]_ for the kinds of mark."""

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Inks:
    """Colours by what they stand for, as #RRGGBB.

    ``quiet`` is for lesser words and lines; ``on_eat`` and ``on_refill`` are the numbers inside
    those marks. Every kind of mark also has a shape of its own, so none of this is needed to read it.
    """

    paper: str
    ink: str
    quiet: str
    rule: str
    eat: str
    on_eat: str
    sip: str
    refill: str
    on_refill: str
    hands: str


# Okabe-Ito [OI08]_: blue 0072B2, sky blue 56B4E9, bluish green 009E73, vermilion D55E00
LIGHT = Inks(
    paper="#FBF8F1", ink="#1F2328", quiet="#575349", rule="#CFC8B8", eat="#0072B2", on_eat="#FFFFFF",
    sip="#008560", refill="#56B4E9", on_refill="#14181C", hands="#C65700",
)  # fmt: skip
"""Screen, light; sip and hands are a little darker than published, to stand out 3 : 1 on shaded paper."""

DARK = Inks(
    paper="#15181C", ink="#ECE7DC", quiet="#B5AFA2", rule="#3F444B", eat="#56B4E9", on_eat="#10141A",
    sip="#2CC79A", refill="#8CCDF2", on_refill="#10141A", hands="#F0812E",
)  # fmt: skip
"""Screen, dark: the same hues, lighter."""

PRINT = Inks(
    paper="#FFFFFF", ink="#000000", quiet="#333333", rule="#999999", eat="#000000", on_eat="#FFFFFF",
    sip="#000000", refill="#FFFFFF", on_refill="#000000", hands="#000000",
)  # fmt: skip
"""Paper, black alone."""


def css_variables(inks: Inks) -> str:
    """Return the inks as CSS custom properties, such as ``--on-eat:#FFFFFF``."""
    return ";".join(f"--{entry.name.replace('_', '-')}:{getattr(inks, entry.name)}" for entry in fields(inks))
