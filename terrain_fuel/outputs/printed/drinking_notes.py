"""What the signs of drinking mean, in words: printed beside the strips and on the ride's sheet."""

from terrain_fuel.outputs.bottle_signs import bottle_signs
from terrain_fuel.outputs.printed.sticker_wordings import rhythm_signs
from terrain_fuel.outputs.rhythm import Drinking, Rhythm
from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import Plan


def drinking_notes(plan: Plan, drinking: Drinking, words: Words, *, stands: str = "head") -> tuple[str, ...]:
    """Return what the signs of the rhythm mean, by the example of the first, and how large a mouthful is.

    ``drinking`` is what the paper beside them tells: one plan is told in more or in fewer rows.
    ``stands`` says where the rhythm is read: at the "head", or at the "foot" of what runs up.
    """
    signs = bottle_signs(bottle.name for bottle in plan.pantry.bottles)
    names = {sign: name for name, sign in signs.items()}
    rhythm = next((each.rhythm for each in drinking.sections if each.rhythm != Rhythm()), Rhythm())
    parts = [
        words.label(
            f"sticker.key.{part}",
            signs=text,
            container=names[sign],
            every_min=rhythm.every_min,
            count=rhythm.each_bite,
        )
        for part, sign, text in rhythm_signs(words, rhythm)
    ]
    used = {point.container for point in plan.fuel_points if point.action != "eat"}
    bottles = [
        words.label("sticker.key.bottle", sign=sign, container=name)
        for name, sign in signs.items()
        if name in used
    ]
    said = words.label(f"sticker.key.rhythm.{stands}", meaning=", ".join(parts)) if parts else ""
    mouthful = words.label("sticker.key.mouthful", mouthful_ml=drinking.mouthful_ml) if bottles else ""
    return tuple(filter(None, (said, "; ".join(filter(None, (*bottles, mouthful))))))
