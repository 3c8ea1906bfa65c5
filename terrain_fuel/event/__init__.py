"""A whole field of riders over one road: when they are where, and what the feeds hand out."""
