"""What the judge hands over: one thing that a soigneur would correct with a pencil."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Finding:
    """A fault of a plan: its family and code, where on the road [m], and a sentence."""

    family: str
    code: str
    at_m: float
    sentence: str
