"""The one object both fronts ask; it remembers answers and what they depend on."""

from __future__ import annotations

TYPE_CHECKING = False

if TYPE_CHECKING:
    from memlint.engine.engine import Engine, check_text, open_project

__all__ = ["Engine", "check_text", "open_project"]


def __getattr__(name: str) -> object:
    # Imported on use: an answer out of the cache needs nothing of all this.
    if name in __all__:
        from memlint.engine import engine

        return getattr(engine, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
