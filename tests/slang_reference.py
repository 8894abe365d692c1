"""An independent elaboration of SystemVerilog, by the compiler library pyslang, for comparison."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

import pytest

pytest.importorskip("pyslang")


def clocked_arrays(
    files: Iterable[Path],
    top: str,
    *,
    parameters: Mapping[str, object] | None = None,
    include_dirs: Iterable[Path] = (),
    defines: Iterable[str] = (),
    single_unit: bool = False,
    least_depth: int = 16,
    accepted: Iterable[str] = (),
) -> dict[str, tuple[int, int]]:
    """Path → (depth, width) of every unpacked array, or packed one of two dimensions, that a clocked
    process or a latch writes, with at least so many words. Depth is the product of the dimensions.

    `accepted` are codes of errors that say nothing about arrays.
    """
    from pyslang import ast

    root = elaborated(files, top, parameters or {}, include_dirs, defines, single_unit, accepted)
    written = _written(root)
    found: dict[str, tuple[int, int]] = {}

    def visit(symbol: object) -> None:
        if getattr(symbol, "kind", None) is not ast.SymbolKind.Variable:
            return
        path = symbol.hierarchicalPath
        if path.startswith(".") or path not in written:
            return
        shape = _shape(symbol)
        if shape is not None and shape[0] >= least_depth:
            found[path] = shape

    root.visit(visit)
    return found


def elaborated(
    files: Iterable[Path],
    top: str,
    parameters: Mapping[str, object],
    include_dirs: Iterable[Path],
    defines: Iterable[str],
    single_unit: bool,
    accepted: Iterable[str] = (),
) -> object:
    """The root symbol of a design; fails on any error the compiler reports."""
    from pyslang import driver

    compiler = driver.Driver()
    compiler.addStandardArgs()
    words = ["reference", "--timescale", "1ns/1ps", "--allow-use-before-declare", "--top", top]
    words += [str(file) for file in files]
    for folder in include_dirs:
        words += ["-I", str(folder)]
    for define in defines:
        words += ["-D", define]
    for name, value in parameters.items():
        shown = f'\\"{value}\\"' if isinstance(value, str) else str(value)
        words += ["-G", f"{name}={shown}"]
    if single_unit:
        words.append("--single-unit")
    assert compiler.parseCommandLine(" ".join(words))
    assert compiler.processOptions()
    assert compiler.parseAllSources()
    compilation = compiler.createCompilation()
    root = compilation.getRoot()
    errors = [str(one.code) for one in compilation.getAllDiagnostics() if one.isError()]
    errors = [code for code in errors if not any(name in code for name in accepted)]
    # Kept alive by the root's owner: the compilation must outlive the walk.
    elaborated.kept = (compiler, compilation)  # type: ignore[attr-defined]
    assert not errors, errors[:5]
    return root


def _written(root: object) -> set[str]:
    """Paths of variables assigned in an always, always_ff or always_latch block with an edge or latch."""
    from pyslang import ast

    found: set[str] = set()

    def base_symbol(expression: object) -> object:
        while True:
            kind = expression.kind
            if kind in (
                ast.ExpressionKind.ElementSelect,
                ast.ExpressionKind.RangeSelect,
                ast.ExpressionKind.MemberAccess,
            ):
                expression = expression.value
            else:
                return getattr(expression, "symbol", None)

    def assignment(expression: object) -> None:
        if getattr(expression, "kind", None) is not ast.ExpressionKind.Assignment:
            return
        target = expression.left
        targets = target.operands if target.kind is ast.ExpressionKind.Concatenation else [target]
        for one in targets:
            symbol = base_symbol(one)
            if symbol is not None:
                found.add(symbol.hierarchicalPath)

    def block(symbol: object) -> None:
        if getattr(symbol, "kind", None) is not ast.SymbolKind.ProceduralBlock:
            return
        if not _is_clocked(symbol) or _in_dead_code(symbol):
            return
        symbol.body.visit(assignment)

    root.visit(block)
    return found


def _in_dead_code(symbol: object) -> bool:
    """Whether a generate block around the symbol is not instantiated under these parameters."""
    scope = symbol.parentScope
    while scope is not None:
        if getattr(scope, "isUninstantiated", False) is True:
            return True
        scope = getattr(scope, "parentScope", None)
    return False


def _is_clocked(block: object) -> bool:
    from pyslang import ast

    if block.procedureKind is ast.ProceduralBlockKind.AlwaysLatch:
        return True
    timing = getattr(block.body, "timing", None)
    if timing is None:
        return False
    events = timing.events if timing.kind is ast.TimingControlKind.EventList else [timing]
    return any(getattr(one, "edge", ast.EdgeKind.None_) is not ast.EdgeKind.None_ for one in events)


def _shape(symbol: object) -> tuple[int, int] | None:
    kind = symbol.type.canonicalType
    depth = 1
    unpacked = False
    while kind.isUnpackedArray and kind.hasFixedRange:
        bounds = kind.fixedRange
        depth *= abs(bounds.left - bounds.right) + 1
        kind = kind.arrayElementType.canonicalType
        unpacked = True
    if unpacked:
        return depth, kind.bitstreamWidth
    dimensions: list[int] = []
    while kind.isPackedArray:
        bounds = kind.fixedRange
        dimensions.append(abs(bounds.left - bounds.right) + 1)
        kind = kind.arrayElementType.canonicalType
    if len(dimensions) < 2:
        return None
    for size in dimensions[:-1]:
        depth *= size
    return depth, dimensions[-1] * kind.bitstreamWidth
