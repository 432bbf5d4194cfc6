"""Rules on support, skirt, brim and raft."""
