"""Rules about clocks, ports, read style and reset."""
