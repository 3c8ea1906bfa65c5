"""Sips: where, how much and from which bottle, once the bites have their places."""
