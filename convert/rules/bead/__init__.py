"""Rules on beads and layer heights against the bore."""
