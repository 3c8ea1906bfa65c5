"""How far the plan may be trusted: what many rides of it showed, or how to have them ridden."""

from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan


def trust(plan: Plan) -> list[list[str]]:
    """Return pairs of heading and text: how many of ten rides went well, what went wrong, what helps most."""
    words = words_for(plan.rider)
    luck = plan.luck
    if luck is None:
        return [[words.label("page.trust.well"), words.label("page.trust.how")]]
    well = words.label("page.trust.of_ten", well=round(10 * luck.all_well), rides=luck.rides)
    pairs = [[words.label("page.trust.well"), well]]
    wrong = [chance for chance in luck.chances if chance.share > 0]
    pairs.extend([words.label("page.trust.wrong"), words.say(chance.sentence)] for chance in wrong)
    if luck.advice:
        pairs.append([words.label("page.trust.helps"), words.say(luck.advice[0].sentence)])
    return pairs
