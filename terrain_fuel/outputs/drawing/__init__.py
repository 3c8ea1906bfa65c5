"""Drawings as shapes, told apart from the paper or screen they end on."""
