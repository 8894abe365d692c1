"""Rules about chains of blocks one above the other."""
