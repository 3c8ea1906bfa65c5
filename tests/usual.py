"""The rider whom the rooms' tests are written for, habits said in full: a new default breaks none of them."""

from terrain_fuel.rider import Habits, Rider

USUAL = Rider(habits=Habits(first_food_min=30.0, eat_every_min=20.0, longest_gap_min=30.0, sip_ml=60.0))
