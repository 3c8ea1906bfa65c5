"""The rider's own rides in one local file."""
