"""From a track to measured terrain: profile, stretches, corners, exposure and cautions."""
