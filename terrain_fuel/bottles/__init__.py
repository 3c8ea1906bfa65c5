"""Bottles: where they are filled, with what and how far, before anything has its place."""
