"""What was done in the kitchen is told of what leaves it."""

import pytest

from terrain_fuel.assembly.kitchen import told_of_what_is_taken
from terrain_fuel.facts import Fact, fact

LEFT = fact("left_at_home", items=(fact("packed_whole", count=2, item="malt loaf"),))


def test_what_is_cut_at_two_times_is_told_once() -> None:
    """A loaf cut for the rhythm, then with the gels once more: one line names both, where the first stood."""
    first, water = fact("cut_finer", items=("loaf",)), fact("water_instead")
    made = (first, water, fact("cut_finer", items=("loaf", "gel")))
    told = (fact("cut_finer", items=("loaf", "gel")), water)
    assert tuple(told_of_what_is_taken(made, {"loaf", "gel"})) == told


@pytest.mark.parametrize(
    ("made", "told"),
    [
        (fact("cut_finer", items=("loaf", "potato")), (fact("cut_finer", items=("loaf",)),)),
        (fact("cut_finer", items=("potato",)), ()),
        (fact("cut_finer_and_water", items=("potato",)), (fact("water_instead"),)),
        (fact("water_instead"), (fact("water_instead"),)),
        (fact("one_and_another", first=LEFT, second=fact("cut_finer", items=("potato",))), (LEFT,)),
        (
            fact("one_and_another", first=LEFT, second=fact("cut_finer", items=("loaf",))),
            (fact("one_and_another", first=LEFT, second=fact("cut_finer", items=("loaf",))),),
        ),
    ],
)
def test_what_stays_at_home_is_not_told_to_be_cut(made: Fact, told: tuple[Fact, ...]) -> None:
    assert tuple(told_of_what_is_taken((made,), {"loaf", "mix"})) == told
