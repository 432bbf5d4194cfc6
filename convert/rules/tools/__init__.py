"""Rules on machines with several tools."""
