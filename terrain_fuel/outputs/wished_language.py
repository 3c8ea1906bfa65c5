"""In which language a browser asks for a page."""

from terrain_fuel.outputs.languages import LANGUAGES

MOST_WISHES = 20
"""Languages of a request that are looked at: a person reads fewer."""


def wished_language(accepted: str) -> str | None:
    """Return the first of our languages that a request asks for, None if it asks for none of them.

    Parameters
    ----------
    accepted : field ``Accept-Language`` as [RFC9110]_ writes it: ranges with commas between, each with a
        weight behind ``;q=``, 1 where there is none; at the same weight the earlier one comes first

    Notes
    -----
    Of a range the language alone counts, whatever the region: as [RFC4647]_ has it for a lookup, de-CH is
    answered in German. What is not written so is passed over.
    """
    weighed = [_weighed(text) for text in accepted.split(",", MOST_WISHES)[:MOST_WISHES]]
    for weight, code in sorted(weighed, key=lambda each: -each[0]):
        if weight > 0.0 and code in LANGUAGES:
            return code
    return None


def _weighed(text: str) -> tuple[float, str]:
    """Return a range's weight, 0 for one that cannot be read, and its language."""
    named, _, told = text.partition(";")
    code = named.strip().lower().partition("-")[0]
    mark, _, value = told.replace(" ", "").lower().partition("=")
    if not mark:
        return 1.0, code
    try:
        weight = float(value) if mark == "q" else 0.0
    except ValueError:
        return 0.0, code
    return (weight, code) if 0.0 <= weight <= 1.0 else (0.0, code)
