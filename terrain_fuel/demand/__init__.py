"""What the body burns, sweats and should take along the road: one file a published model."""
