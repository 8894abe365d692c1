"""Rules: a folder per family, a file per rule; a rule sees a memory, its placement, the device."""
