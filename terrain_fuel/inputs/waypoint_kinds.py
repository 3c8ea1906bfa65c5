"""What a waypoint means to the plan, from the words that are written on it."""

import re

from terrain_fuel.inputs.formats.raw_route import RawWaypoint
from terrain_fuel.track import WaypointKind

NO_STOP = re.compile(r"\b(do not|don.?t|never|no) stop|\bno.?stop(ping)?\b")
"""Held above all else, wherever it is written."""

NO_WATER = re.compile(
    r"\b(no|not|without|non|kein|pas d.?)\W+(\w+\W+)?(water|drinking|drinkable|potable|eau|wasser)"
)
"""What takes the meaning of a refill away."""

WORDS: tuple[tuple[WaypointKind, str], ...] = (
    ("tunnel", "tunnel tunnels galleria"),
    ("caution", "danger dangerous caution hazard warning"),
    (
        "refill",
        "water tap taps fountain fountains drinking spring refill pump wasser trinkwasser brunnen"
        " eau fontaine agua fuente acqua fontana fontanella",
    ),
    (
        "feed",
        "food feed feedzone shop shops shopping store cafe café coffee bakery restaurant supermarket"
        " grocery groceries kiosk ravitaillement boulangerie bäckerei panadería",
    ),
    ("summit", "summit pass col peak crest saddle passo puerto joch sattel"),
)
"""Whole words in lower case, in the order in which they are looked for: common practice (no source)."""

_KNOWN = tuple((kind, frozenset(words.split())) for kind, words in WORDS)


def waypoint_kind(waypoint: RawWaypoint) -> WaypointKind:
    """Return what a waypoint means to the plan; "place" if no word is understood.

    Notes
    -----
    A word that forbids stopping counts wherever it stands. Otherwise type and symbol, which
    are chosen from lists, speak before name and comment, which are free text. A word counts
    only whole: a "Waterfall" is no tap.
    """
    texts = [text.casefold() for text in (waypoint.type, waypoint.symbol, waypoint.name, waypoint.comment)]
    if any(NO_STOP.search(text) for text in texts):
        return "no_stop"
    dry = any(NO_WATER.search(text) for text in texts)
    for text in texts:
        words = set(re.findall(r"[^\W\d_]+", text))
        for kind, known in _KNOWN:
            if words & known and not (dry and kind == "refill"):
                return kind
    return "place"
