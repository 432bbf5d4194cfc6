"""Whole archives: one catalogue of everything in them, queries over it, and who descends from whom."""
