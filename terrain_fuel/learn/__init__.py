"""From the log to proposed settings, with their doubt and their error on past rides."""
