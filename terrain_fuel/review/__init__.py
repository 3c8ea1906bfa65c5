"""After the ride: what was recorded and left over, laid beside what was planned."""
