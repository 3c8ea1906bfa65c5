"""Which bite of what, where; then the sips."""
