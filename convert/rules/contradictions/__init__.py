"""Rules on settings that cannot all hold."""
