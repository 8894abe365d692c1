"""The decorator of small values that are made by the million."""

from __future__ import annotations

from typing import TYPE_CHECKING

__all__ = ["node"]

if TYPE_CHECKING:
    from dataclasses import dataclass as node
else:
    from dataclasses import dataclass

    def node(*, frozen, slots):
        """A slotted dataclass, compared and hashed by its fields; write `@node(frozen=True, slots=True)`.

        That nobody assigns to a field is checked where the types are checked. Checking it again at run
        time makes a constructor three times slower, and constructors are a good part of reading a file.
        """
        assert frozen and slots
        return dataclass(slots=True, unsafe_hash=True)
