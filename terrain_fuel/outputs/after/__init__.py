"""Pages after the ride: the review of one, and the season."""
