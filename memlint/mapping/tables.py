"""Shape tables of a tier's modes, made once per tier and kept as long as the tier is in use."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from memlint.device.facts import BlockShape, Mode, Tier
from memlint.mapping.chains import ChainLimits, chain_limits
from memlint.mapping.ecc import HardWord
from memlint.mapping.shapes import ShapeTable


def mode_shapes(mode: Mode, splits: int) -> tuple[BlockShape, ...]:
    """Every shape of a mode, whole blocks and parts of blocks, with what each costs."""
    return (*mode.shapes, *(BlockShape(s.depth, s.width, Fraction(1, splits)) for s in mode.half_shapes))


class ModeTables:
    """One mode of a tier: its plain shapes, its chain limits."""

    __slots__ = ("limits", "mode", "plain")

    def __init__(self, tier: Tier, mode: Mode) -> None:
        self.mode = mode
        self.limits: ChainLimits = chain_limits(tier, mode)
        shapes = mode_shapes(mode, tier.splits)
        self.plain = ShapeTable(shapes, tier.splits, mode.enables) if shapes else None


class TierTables:
    """The tables of one tier, by mode, and tables of its hardened ECC and of unequal widths as needed."""

    __slots__ = ("_ecc", "_stands_in", "_unequal", "modes", "tier")

    def __init__(self, tier: Tier) -> None:
        self.tier = tier
        self.modes = {mode.name: ModeTables(tier, mode) for mode in tier.modes}
        self._ecc: dict[str, ShapeTable] = {}
        self._unequal: dict[tuple[str, int, int, int], ShapeTable | None] = {}
        self._stands_in: dict[tuple[str, str], bool] = {}

    def ecc(self, hard: HardWord) -> ShapeTable:
        """The shapes of hardened ECC; each holds one code word, also where only its data bits are listed."""
        found = self._ecc.get(hard.ecc.mode)
        if found is None:
            bits = hard.data + hard.check
            shapes = [BlockShape(s.depth, max(s.width, bits), s.cost) for s in hard.ecc.shapes]
            found = self._ecc[hard.ecc.mode] = ShapeTable(shapes, self.tier.splits)
        return found

    def unequal(self, mode: Mode, width: int, write: int, read: int) -> ShapeTable | None:
        """The shapes, seen as words of `width` bits, that serve a port written `write` and one read `read`
        bits wide; None when no shape of the mode does. Write enables hold where words are written singly."""
        key = (mode.name, width, write, read)
        if key not in self._unequal:
            wide, narrow = max(write, read), min(write, read)
            shapes = unequal_shapes(mode, self.tier.splits, width, wide, narrow)
            enables = mode.enables if width == write else ()
            self._unequal[key] = ShapeTable(shapes, self.tier.splits, enables) if shapes else None
        return self._unequal[key]

    def stands_in(self, one: str, other: str) -> bool:
        """Whether all that mode `other` can hold, mode `one` holds in as few blocks and as well chained."""
        key = (one, other)
        if key not in self._stands_in:
            first, second = self.modes[one], self.modes[other]
            chained = first.limits == second.limits or (
                bool(first.limits.longest) and second.limits.hardened is False
            )
            self._stands_in[key] = (
                chained
                and first.plain is not None
                and second.plain is not None
                and second.plain.offers() <= first.plain.offers()
            )
        return self._stands_in[key]


def unequal_shapes(mode: Mode, splits: int, width: int, wide: int, narrow: int) -> list[BlockShape]:
    """Block shapes that are `wide`/`narrow` times wider on one port than on the other.

    Both widths of the block must stand in one of the mode's width groups, within its greatest ratio. The
    shapes are given as seen by an array of `width`-bit words, which only fits where it comes out even.
    """
    ratio, found = wide // narrow, []
    if wide % narrow or (mode.max_ratio is not None and ratio > mode.max_ratio):
        return []
    for shape in mode_shapes(mode, splits):
        slim = Fraction(shape.width, ratio)
        seen, depth = Fraction(shape.width * width, wide), Fraction(shape.depth * wide, width)
        if not any(shape.width in group and slim in group for group in mode.width_groups):
            continue
        if seen.denominator == 1 and depth.denominator == 1:
            found.append(BlockShape(int(depth), int(seen), shape.cost))
    return found


class _Same:
    """A tier as a key by identity: hashing all its shapes would cost more than a count."""

    __slots__ = ("tier",)

    def __init__(self, tier: Tier) -> None:
        self.tier = tier

    def __hash__(self) -> int:
        return id(self.tier)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.tier is self.tier


@lru_cache(maxsize=64)
def _tables(key: _Same) -> TierTables:
    return TierTables(key.tier)


def tables_of(tier: Tier) -> TierTables:
    """The tables of a tier; the same ones for as long as the same tier object is asked for."""
    return _tables(_Same(tier))
