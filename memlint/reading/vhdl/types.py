"""Subtype indications: what an expression-like type mark with its constraints says as a DataType."""

from __future__ import annotations

from dataclasses import replace

from memlint.reading.facts.expressions import (
    Attribute,
    Call,
    DataType,
    Dimension,
    Expr,
    Field,
    Member,
    Name,
    Open,
    Slice,
)
from memlint.reading.vhdl.associations import is_range
from memlint.text.source import Span


def data_type(mark: Expr, constraint: Expr | None = None) -> DataType:
    """The type that `mark` (a name with its parentheses) and a scalar `range` constraint denote.

    Index constraints are `dimensions`; those of the element are the `dimensions` of an `implicit`
    `element`; those of record fields are `fields` of `implicit` type. A scalar's range is the parameter
    `range`: a Slice of nothing or a `'range` attribute. `scope` is the dotted prefix as written.
    """
    layers: list[Call | Slice] = []
    span = mark.span if constraint is None else mark.span.to(constraint.span)
    while isinstance(mark, Call | Slice):
        layers.append(mark)
        mark = mark.function if isinstance(mark, Call) else mark.base
    kind, name, scope = _type_name(mark)
    scalar = () if constraint is None else (("range", constraint),)
    if not layers:
        return DataType(kind, name, scope, parameters=scalar, span=span)
    # The last parentheses written constrain the innermost element.
    element: DataType | None = None
    for layer in layers[:-1]:
        element = _constraint("implicit", "", "", layer, element, layer.span)
    return _constraint(kind, name, scope, layers[-1], element, span)


def _constraint(
    kind: str, name: str, scope: str, layer: Call | Slice, element: DataType | None, span: Span
) -> DataType:
    fields = _fields(layer)
    dimensions = () if fields else _dimensions(layer)
    return DataType(kind, name, scope, dimensions=dimensions, fields=fields, element=element, span=span)


def _type_name(mark: Expr) -> tuple[str, str, str]:
    """Kind, name and scope of a type mark without its constraints."""
    if isinstance(mark, Name):
        return "named", mark.name, ""
    if isinstance(mark, Attribute):
        return "unsupported", f"type given by '{mark.name}", ""
    scope: list[str] = []
    base: Expr = mark
    while isinstance(base, Member):
        scope.insert(0, base.name)
        base = base.base
    if not scope or not isinstance(base, Name):
        return "unsupported", "type given by an expression", ""
    return "named", scope.pop(), ".".join([base.name, *scope])


def dimension(index: Expr) -> Dimension:
    """One index of an array: a range, `subtype range <>`, `open`, or what names a discrete range."""
    if isinstance(index, Slice) and is_range(index):
        right = None if index.kind == "box" else index.right
        return Dimension(index.left, right, index.kind, span=index.span)
    if isinstance(index, Open):
        return Dimension(index, None, "box", span=index.span)
    return Dimension(index, None, "subtype", span=index.span)


def _dimensions(layer: Call | Slice) -> tuple[Dimension, ...]:
    if isinstance(layer, Slice):
        return (Dimension(layer.left, layer.right, layer.kind, span=layer.span),)
    return tuple(dimension(argument) for argument in layer.arguments)


def _fields(layer: Call | Slice) -> tuple[Field, ...]:
    """The field constraints of a record constraint; empty for an index constraint."""
    if isinstance(layer, Slice):
        return ()
    fields: list[Field] = []
    for argument in layer.arguments:
        constrained = isinstance(argument, Call) or (isinstance(argument, Slice) and not is_range(argument))
        if not constrained:
            return ()
        inner = data_type(argument)
        fields.append(
            Field(inner.name, replace(inner, kind="implicit", name="", scope=""), (), span=argument.span)
        )
    return tuple(fields)
