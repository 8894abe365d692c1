"""The one object both fronts ask; it remembers answers and what they depend on."""

from memlint.engine.engine import Engine, check_text, open_project

__all__ = ["Engine", "check_text", "open_project"]
