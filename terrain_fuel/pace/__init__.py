"""How the road is ridden: speed, power and time along it."""
