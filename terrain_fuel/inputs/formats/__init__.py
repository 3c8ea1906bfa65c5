"""Route files: one file a format, told by what they hold, each read into the same bare columns."""
