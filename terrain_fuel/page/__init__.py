"""The page on the kitchen table: rides kept on disk, planned and shown by a server on this machine alone."""
