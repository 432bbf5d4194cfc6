"""Rules on layer times and fans."""
