"""Rules on retraction and travel."""
