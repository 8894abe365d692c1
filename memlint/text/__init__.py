"""Spans, line index and encodings: the lowest layer, which imports nothing of memlint."""
