"""How far the plan may be trusted: what many rides of it showed, or how to have them ridden."""

from terrain_fuel.luck import Luck
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan


def trust(plan: Plan) -> list[list[str]]:
    """Return pairs of heading and text: how many of ten rides went well, what went wrong, what helps most."""
    words = words_for(plan.rider)
    luck = plan.luck
    if luck is None:
        return [[words.label("page.trust.well"), words.label("page.trust.how")]]
    well = words.label("page.trust.of_ten", well=round(10 * luck.all_well), rides=luck.rides)
    pairs = [[words.label("page.trust.well"), well]]
    pairs.extend([words.label("page.trust.wrong"), said] for said in wrong_rides(luck, words))
    if luck.advice:
        pairs.append([words.label("page.trust.helps"), words.say(luck.advice[0].sentence)])
    return pairs


def wrong_rides(luck: Luck, words: Words) -> list[str]:
    """Return what went wrong, how often, and where the road tells it."""
    said = []
    for chance in luck.chances:
        if chance.share > 0 and chance.span_m is None:
            said.append(words.say(chance.sentence))
        elif chance.span_m is not None:
            start_m, end_m = chance.span_m
            span = words.label("span", start=words.distance(start_m, 0), end=words.length(end_m, 0))
            said.append(words.label("page.trust.where", said=words.say(chance.sentence), span=span))
    return said
