"""Rules on corrections of size and on outlines."""
