"""Output writers: text, JSON and the rest. No analysis."""
