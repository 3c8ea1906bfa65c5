"""What no device knows and the review therefore asks, each with its key on the form."""

from terrain_fuel.after_keys import BOTTLE, ITEM, numbered_keys
from terrain_fuel.facts import fact
from terrain_fuel.pantry import Pantry
from terrain_fuel.review.after import After
from terrain_fuel.review.model import Question
from terrain_fuel.review.planned import Planned


def open_questions(
    pantry: Pantry, planned: Planned | None, after: After | None, by_plan: bool
) -> tuple[Question, ...]:
    """Return what is still to be asked after a ride, in the order of the form."""
    said = after or After()
    asked: list[Question] = []
    if planned is not None and by_plan:
        items = numbered_keys(ITEM, [item.name for item in pantry.items])
        bottles = numbered_keys(BOTTLE, [each.name for each in pantry.containers])
        for item, (bites, kept) in planned.carried.items():
            key = items.get(item, "")
            if key and key not in said.left:
                asked.append(Question(key, fact("ask_item_left", item=item, total=bites + kept)))
        for bottle in dict.fromkeys(each.container for each in planned.poured):
            key = bottles.get(bottle, "")
            if key and key not in said.left:
                asked.append(Question(key, fact("ask_bottle_left", bottle=bottle)))
    elif not said.ate:
        asked.append(Question("ate", fact("ask_what_was_eaten")))
    for key, value, sentence in (
        ("C1", said.stomach, fact("ask_stomach")),
        ("C2", said.legs, fact("ask_legs")),
        ("C3", said.thirst, fact("ask_thirst")),
        ("D1", said.before_kg, fact("ask_mass_before")),
        ("D2", said.after_kg, fact("ask_mass_after")),
    ):
        if value is None:
            asked.append(Question(key, sentence))
    return tuple(asked)
