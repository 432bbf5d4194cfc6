"""Rules on what fills the inside."""
