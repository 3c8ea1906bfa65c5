"""How is drunk, by the part of the ride: what the page says under what comes next."""

from typing import Any

from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.rhythm import Section
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan


def drinking_lines(plan: Plan) -> list[dict[str, Any]]:
    """Return for each filling of the bottles its clock [s], its rhythm in words, and where more is drunk."""
    words = words_for(plan.rider)
    return [
        {
            "from": round(section.start_s),
            "until": round(section.end_s),
            "rhythm": _rhythm(words, section),
            "extras": [[round(extra.at_m), round(extra.at_s), extra.text] for extra in section.extras],
        }
        for section in plan_drinking(plan).sections
    ]


def _rhythm(words: Words, section: Section) -> str:
    rhythm = section.rhythm
    parts = (("clock", rhythm.bottle), ("bite", rhythm.bite_bottle))
    return "; ".join(
        words.label(f"rhythm.{part}.long", bottle=sign, every_min=rhythm.every_min, count=rhythm.each_bite)
        for part, sign in parts
        if sign
    )
