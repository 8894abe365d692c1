"""Whether the numbers of one tier agree with each other."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from memlint.device.errors import Mistake, Path
from memlint.device.merge import Table


def tier_mistakes(tier: Table) -> Iterator[Mistake]:
    """Every contradiction inside one tier that has passed the models."""
    path: Path = ("tier", tier["name"])
    yield from _columns(tier, path)
    for name, mode in tier.get("modes", {}).items():
        yield from _mode(tier, mode, (*path, "modes", name))
    for name, ecc in tier.get("ecc", {}).items():
        yield from _ecc(tier, ecc, (*path, "ecc", name))
    yield from _chain(tier, path)
    if "external" in tier and tier.get("role") not in ("external", None):
        yield Mistake(
            (*path, "external"),
            f'Capacity and bandwidth are for external tiers; the role of this one is "{tier["role"]}".',
            'Take the table out, or write `role = "external"`.',
        )


def _columns(tier: Table, path: Path) -> Iterator[Mistake]:
    columns = tier.get("columns", [])
    held = sum(column["blocks"] * column["count"] for column in columns)
    if columns and "blocks" in tier and held != tier["blocks"]:
        yield Mistake(
            (*path, "columns"),
            f"The columns hold {held:,} blocks, but blocks is {tier['blocks']:,}.",
            "Correct blocks, or the columns' blocks and count.",
        )


def _mode(tier: Table, mode: Table, path: Path) -> Iterator[Mistake]:
    if mode.get("shapes") == []:
        yield Mistake(
            (*path, "shapes"),
            "The mode has no shapes.",
            "Write [depth, width] of one block, or leave `shapes` out where nobody documents them.",
        )
    yield from _too_big(mode.get("shapes", []), tier.get("block_bits"), "block_bits", (*path, "shapes"))
    yield from _halves(tier, mode, path)
    yield from _enables(mode, path)


def _too_big(shapes: list[list[Any]], bits: int | None, limit: str, path: Path) -> Iterator[Mistake]:
    if bits is None:
        return
    for index, (depth, width, *cost) in enumerate(shapes):
        blocks = Fraction(str(cost[0])) if cost else Fraction(1)
        room = int(bits * blocks)
        if depth * width > room:
            times = "" if blocks == 1 else f" times {blocks}"
            yield Mistake(
                (*path, index),
                f"{depth} x {width} is {depth * width:,} bits, more than {limit} {bits:,}{times}.",
                f"Use a shape of at most {room:,} bits, or correct block_bits.",
            )


def _halves(tier: Table, mode: Table, path: Path) -> Iterator[Mistake]:
    halves = mode.get("half_shapes", [])
    splits = tier.get("splits", 1)
    if halves and splits == 1:
        yield Mistake(
            (*path, "half_shapes"),
            "The mode has half_shapes, but the blocks of this tier do not split.",
            "Write `splits = 2` in the tier, or take half_shapes out.",
        )
        return
    if "block_bits" in tier:
        part = tier["block_bits"] // splits
        yield from _too_big(halves, part, f"block_bits / {splits} =", (*path, "half_shapes"))


def _enables(mode: Table, path: Path) -> Iterator[Mistake]:
    widths = {width for _, width, *_ in (*mode.get("shapes", []), *mode.get("half_shapes", []))}
    for index, (word, granule) in enumerate(mode.get("enables", [])):
        if granule > word:
            yield Mistake(
                (*path, "enables", index),
                f"The granule of {granule} bits is wider than its word of {word} bits.",
                "Write [word width, granule], the wider first.",
            )
        elif widths and word not in widths:
            listed = ", ".join(str(width) for width in sorted(widths))
            yield Mistake(
                (*path, "enables", index),
                f"No shape of this mode is {word} bits wide.",
                f"Write the word width of a shape: {listed}.",
            )


def _ecc(tier: Table, ecc: Table, path: Path) -> Iterator[Mistake]:
    yield from _too_big(ecc.get("shapes", []), tier.get("block_bits"), "block_bits", (*path, "shapes"))
    if "data" not in ecc:
        return
    data, check = ecc["data"], ecc.get("check", 0)
    for index, (depth, width, *_) in enumerate(ecc.get("shapes", [])):
        if data + check > width:
            word = f"{data} data and {check} check bits" if check else f"{data} data bits"
            yield Mistake(
                (*path, "shapes", index),
                f"An ECC word of {word} is wider than the shape {depth} x {width}.",
                f"Use a shape at least {data + check} bits wide, or correct data and check.",
            )


def _chain(tier: Table, path: Path) -> Iterator[Mistake]:
    modes = list(tier.get("modes", {}))
    for index, mode in enumerate(tier.get("chain", {}).get("modes", [])):
        if mode not in modes:
            yield Mistake(
                (*path, "chain", "modes", index),
                f"The tier has no mode {mode}.",
                f"Write one of: {', '.join(modes) or 'none, until the tier has modes'}.",
            )
