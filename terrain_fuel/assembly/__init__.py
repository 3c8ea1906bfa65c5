"""The finished plan put together from its stages: numbered points, timeline, totals."""
