"""Rules on speeds, accelerations, corners and ringing."""
