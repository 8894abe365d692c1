"""Mapping arithmetic: ports, widths, cuts, chains, columns. No HDL, no files."""
