"""Rules on the filament: what it wears, what it bears, and whether its card makes sense."""
