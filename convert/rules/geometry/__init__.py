"""Rules on the build area, heads and tool offsets."""
