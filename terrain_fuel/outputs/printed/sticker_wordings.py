"""What a line of the sticker could say, the fullest wording first: how much of what, where, in which laps."""

from collections.abc import Iterator, Mapping

from terrain_fuel.outputs.by_lap import lap_numbers
from terrain_fuel.outputs.place_names import place_wordings
from terrain_fuel.outputs.printed.cues import Cue
from terrain_fuel.outputs.printed.fonts import sayable
from terrain_fuel.outputs.printed.sticker_pours import in_one_line, pours_of
from terrain_fuel.outputs.rhythm import Rhythm
from terrain_fuel.outputs.row import SIGNED, Row
from terrain_fuel.outputs.units import amount_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan


def cue_wordings(plan: Plan, cue: Cue, shorts: Mapping[str, str]) -> Iterator[str]:
    """Yield what a line could say, the fullest wording first; the last is cut if it must be."""
    row, words = cue.row, words_for(plan.rider)
    behind = laps_behind(plan, cue)
    if cue.rhythm is not None:
        yield from rhythm_wordings(words, cue.rhythm)
    elif cue.kind == "eat" and row.point is not None:
        bite = amount_before(plan, row) + shorts[row.point.item]
        if row.landmark is not None and row.landmark.named:
            seen = row.landmark
            name = sayable(seen.short, words.label("sticker.here")) + (f", {seen.note}" if seen.note else "")
            yield f"{bite}, {name}{behind}"
        yield bite + behind
    elif cue.kind == "sip" and cue.extra is not None:
        yield cue.extra.text + behind
    elif cue.kind == "refill":
        fullest = next(in_one_line(pours_of(plan, cue)))
        yield from (f"{place}{behind}: {fullest}" for place in halt_places(plan, cue))
    elif cue.kind == "hands_on":
        yield row.length_text
    elif cue.kind == "foot":
        if row.named:
            yield f"{sayable(row.short, words.label('row.foot'))} {row.length_text}"
        yield row.length_text
    else:
        name = sayable(row.short, words.label(f"row.{row.kind}"))
        names = list(place_wordings(name, signed=row.kind in SIGNED)) if row.named else [name]
        yield from (f"{name}, {row.note}" for name in names if row.note)
        yield from names


def rhythm_wordings(words: Words, rhythm: Rhythm) -> Iterator[str]:
    """Yield how the rhythm is told, in words where there is room, then in signs: "R×1/15′ F×1/●"."""
    for form, between in (("long", "; "), ("short", ", "), ("signs", " ")):
        yield between.join(text for _, _, text in rhythm_signs(words, rhythm, form))


def rhythm_signs(words: Words, rhythm: Rhythm, form: str = "signs") -> list[tuple[str, str, str]]:
    """Return the parts of a rhythm, "clock" and "bite": which, from which bottle, and how it is told."""
    parts = (("clock", rhythm.bottle), ("bite", rhythm.bite_bottle))
    return [
        (
            part,
            sign,
            words.label(
                f"rhythm.{part}.{form}", bottle=sign, every_min=rhythm.every_min, count=rhythm.each_bite
            ),
        )
        for part, sign in parts
        if sign
    ]


def halt_places(plan: Plan, cue: Cue) -> list[str]:
    """Return what the place of a halt could be called, the fullest name first."""
    words, landmark = words_for(plan.rider), cue.row.landmark
    name = sayable(landmark.short if landmark else "", words.label("sticker.halt"))
    return list(dict.fromkeys(place_wordings(name, signed=False)))


def amount_before(plan: Plan, row: Row) -> str:
    """Return how much of an item is eaten, with the gap that follows it."""
    if row.point is None:
        return ""
    amount = amount_text(row.point.portions, plan.pantry.item(row.point.item).portions)
    return f"{amount} " if amount else ""


def laps_behind(plan: Plan, cue: Cue) -> str:
    """Return in which laps something is taken, with the gap before; nothing if in all."""
    laps = plan.terrain.laps
    if laps is None or not cue.laps or len(cue.laps) == laps.count:
        return ""
    if cue.kind not in ("eat", "sip", "refill"):
        return ""
    return words_for(plan.rider).label("sticker.laps", laps=lap_numbers(cue.laps).replace(" ", ""))
