"""Food: which bite of what stands where, all chosen together as one optimisation."""
