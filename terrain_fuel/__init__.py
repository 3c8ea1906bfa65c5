"""Plan where to eat and drink on a road ride, and where to keep both hands on the bars."""
