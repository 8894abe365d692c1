"""The reference for constant expressions of SystemVerilog: pyslang, a compiler library."""

from __future__ import annotations

from dataclasses import dataclass

from pyslang import ast, syntax


@dataclass(frozen=True)
class Reference:
    """A parameter as the reference elaborates it. `value` is None where it holds x or z bits, or is no
    number; `width` 0 where it is no vector."""

    value: int | float | str | None
    width: int
    signed: bool


def parameters(text: str) -> dict[str, Reference]:
    """The parameters of the top module of a text."""
    compilation = ast.Compilation()
    compilation.addSyntaxTree(syntax.SyntaxTree.fromText(text))
    instances = compilation.getRoot().topInstances
    found: dict[str, Reference] = {}
    for symbol in instances[0].body:
        if isinstance(symbol, ast.ParameterSymbol):
            found[symbol.name] = _reference(symbol)
    return found


def _reference(symbol: ast.ParameterSymbol) -> Reference:
    value = symbol.value.value
    kind = symbol.type
    width, signed = (kind.bitWidth, kind.isSigned) if kind.isIntegral else (0, False)
    if kind.isIntegral:
        if value is None or value.hasUnknown:
            return Reference(None, width, signed)
        return Reference(int(value), width, signed)
    return Reference(value if isinstance(value, float | str) else None, width, signed)
