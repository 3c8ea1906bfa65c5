"""The plan for other programs: JSON with its schema, GPX and GeoJSON."""
