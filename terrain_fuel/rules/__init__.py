"""The rules of eating and drinking on the road: one file a family, one function a rule."""
