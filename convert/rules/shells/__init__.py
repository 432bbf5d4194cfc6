"""Rules on walls, solid tops and bottoms."""
