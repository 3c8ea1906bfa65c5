"""Rides kept on disk: a folder a ride, written whole or not at all, every change of it undoable."""
