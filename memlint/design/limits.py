"""How far constant evaluation goes before it says that it stops."""

from __future__ import annotations

from typing import Final

# Numbers longer than this, in bits, are not computed with: no size in a design needs them.
LARGEST_NUMBER: Final = 1 << 16
# Longer vectors, in bits, are contents and not sizes: they are not built.
LARGEST_VECTOR: Final = 1 << 24
# The same for arrays, in elements.
LARGEST_ARRAY: Final = 1 << 20
# What all constant functions of one expression may take together.
MOST_STEPS: Final = 200_000
DEEPEST_CALL: Final = 200
# Python frames that calls of that depth need, each holding nested statements and expressions.
RECURSION: Final = 10_000
