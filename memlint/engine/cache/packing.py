"""Lists of byte strings as bytes: `<length>:<bytes>` one behind the other. Reading them runs nothing."""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

_MOST_DIGITS = 12


def pack(parts: Iterable[bytes]) -> bytes:
    """The parts as one byte string."""
    return b"".join(piece for part in parts for piece in (b"%d:" % len(part), part))


def unpack(data: bytes) -> list[bytes]:
    """The parts again. Raises ValueError for anything that `pack` does not make."""
    parts: list[bytes] = []
    at = 0
    while at < len(data):
        colon = data.find(b":", at, at + _MOST_DIGITS + 1)
        digits = data[at:colon]
        if colon < 0 or not digits.isdigit():
            raise ValueError("not a packed list")
        end = colon + 1 + int(digits)
        if end > len(data):
            raise ValueError("a packed list that ends early")
        parts.append(data[colon + 1 : end])
        at = end
    return parts
