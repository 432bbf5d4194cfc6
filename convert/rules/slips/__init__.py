"""Rules on numbers that stand in another unit or scale than was meant."""
