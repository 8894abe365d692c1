"""Which signals are arrays or hold some: dimensions, words, and the fields on the way to a word."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from memlint.design.body import Signal
from memlint.design.types import AnyType, Array, Bound, Enum, Struct, Vector, bits
from memlint.design.values import Unknown

# Structs inside structs.
_DEEPEST_FIELD = 20


@dataclass(frozen=True, slots=True)
class ArrayShape:
    """The dimensions an array is indexed by (outermost first), the type of a word and its bits.

    `packed` tells a packed array of two or more dimensions from an unpacked one. `of_structs` marks one
    dimension of packed structs, which is listed but is no memory. `path` is the way from the object to a
    word: None for an index, a name for a field of a struct or record (`s.mem[at]` is `("mem", None)`).
    `apart` are fields of the word that are arrays of their own.
    """

    dimensions: tuple[Bound, ...]
    width: int | Unknown
    packed: bool
    word: AnyType
    of_structs: bool = False
    path: tuple[str | None, ...] = ()
    apart: frozenset[str] = frozenset()

    @property
    def fields(self) -> str:
        """The fields on the way to a word, as a path has them behind the object: `.mem`, else ``."""
        return "".join(f".{name}" for name in self.path if name is not None)


def array_shape(signal: Signal) -> ArrayShape | None:
    """The shape of an array, None for anything that is none (a vector, a scalar, a struct, a queue)."""
    return _shape(signal.type)


def array_shapes(signal: Signal) -> list[ArrayShape]:
    """The shape of an array, then those of the arrays that are fields inside it, or inside a struct."""
    own = _shape(signal.type)
    return [*([own] if own is not None else []), *_in_fields(signal.type, (), ())]


def _shape(kind: AnyType) -> ArrayShape | None:
    dimensions: list[Bound] = []
    while isinstance(kind, Array):
        dimensions.append(kind.range)
        kind = kind.element
    path = (None,) * len(dimensions)
    if dimensions:
        return ArrayShape(tuple(dimensions), bits(kind), False, kind, path=path)
    if not isinstance(kind, Vector):
        return None
    path = (None,) * len(kind.dimensions)
    if kind.element is not None and isinstance(kind.element, Struct | Enum) and kind.dimensions:
        if isinstance(kind.element, Enum):
            return None
        alone = len(kind.dimensions) == 1
        return ArrayShape(kind.dimensions, bits(kind.element), True, kind.element, alone, path)
    if len(kind.dimensions) < 2:
        return None
    word = Vector((kind.dimensions[-1],), element=kind.element)
    return ArrayShape(kind.dimensions[:-1], bits(word), True, word, path=path[:-1])


def _in_fields(
    kind: AnyType, path: tuple[str | None, ...], outer: tuple[Bound, ...]
) -> Iterator[ArrayShape]:
    """Unpacked arrays that are fields of an unpacked struct or record, at any depth."""
    while isinstance(kind, Array):
        path, outer, kind = (*path, None), (*outer, kind.range), kind.element
    if not isinstance(kind, Struct) or kind.packed or kind.union or len(path) > _DEEPEST_FIELD:
        return
    for name, inner in kind.fields:
        way = (*path, name)
        shape = _shape(inner) if isinstance(inner, Array) else None
        if shape is not None:
            dimensions = (*outer, *shape.dimensions)
            yield ArrayShape(dimensions, shape.width, False, shape.word, path=(*way, *shape.path))
        yield from _in_fields(inner, way, outer)
