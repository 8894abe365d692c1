"""How far constant evaluation goes before it says that it stops."""

from __future__ import annotations

from typing import Final

from memlint.reading.facts.items import Problem
from memlint.text.source import Span

# Numbers longer than this, in bits, are not computed with: no size in a design needs them.
LARGEST_NUMBER: Final = 1 << 16
# Longer vectors, in bits, are contents and not sizes: they are not built.
LARGEST_VECTOR: Final = 1 << 24
# The same for arrays, in elements.
LARGEST_ARRAY: Final = 1 << 20
# What all constant functions of one expression may take together.
MOST_STEPS: Final = 200_000
DEEPEST_CALL: Final = 200
# Types of one scope that each name the next.
DEEPEST_TYPE: Final = 200
# Python frames that calls of that depth need, each holding nested statements and expressions.
RECURSION: Final = 10_000
# Generate blocks of one body; beyond it the loop bounds are a mistake, not a design.
MOST_BLOCKS: Final = 20_000
# Instances of one array of instances.
MOST_ELEMENTS: Final = 65_536
# Instances of a whole design. Fewer than 40 units can hold 2^40 of them.
MOST_INSTANCES: Final = 100_000
# Bits of a bound, and of a size: no storage that exists is larger.
LARGEST_SIZE: Final = 1 << 64
# Fields of a struct, with those of the structs in it.
MOST_FIELDS: Final = 4_000
# Nets that a word which was read is followed over.
MOST_NETS: Final = 4_000


def limit_met(message: str, span: Span, *remedies: str) -> Problem:
    """The finding that says where elaboration stopped, and at what limit."""
    return Problem("source-not-read", message, span, remedies)
