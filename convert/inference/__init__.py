"""Learning: name tables worked out from samples of dialects that nobody wrote a table for."""
