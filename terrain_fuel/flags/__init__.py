"""What to mind along the road: cautions and safety flags, from road, pace, rider and day, joined once."""
