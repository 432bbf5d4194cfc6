"""Results made readable, as tables for people and as JSON for programs; computes nothing and prints nothing."""
