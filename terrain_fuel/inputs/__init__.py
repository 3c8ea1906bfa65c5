"""What comes in: routes, heights and settings files."""
