"""The comparison: what differs between two sides, what it does to the print, and how much of the total each change
causes. See `compare`, `meaning` and `attribution`.
"""
