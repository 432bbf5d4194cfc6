"""Rules on temperatures and heaters."""
