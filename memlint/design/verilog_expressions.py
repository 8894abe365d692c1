"""The values of SystemVerilog expressions: operators in the width and sign of their context.

IEEE 1800-2017 11.8.2: sizes go up from the operands (verilog_shapes), then down again with the values.
"""

from __future__ import annotations

from memlint.design.conversion import convert_verilog
from memlint.design.limits import LARGEST_VECTOR
from memlint.design.operators import (
    OTHER_SHAPE,
    Shape,
    arithmetic,
    bit,
    combine,
    compare,
    fit,
    logical,
    power,
    reduce,
    shift,
    to_shape,
    truth,
)
from memlint.design.patterns import pattern_value
from memlint.design.scope import Scope
from memlint.design.selection import type_of_value
from memlint.design.types import Array, ElabType, Enum, Shapeless, Struct, Vector, bits
from memlint.design.values import Int, Real, TypeValue, Unknown, Value, spell, vector
from memlint.design.verilog_leaves import LEAVES
from memlint.design.verilog_shapes import ARITHMETIC, SHIFTS, shape_of
from memlint.reading.facts import expressions as ex

_COMPARISONS = frozenset(("==", "!=", "===", "!==", "==?", "!=?", "<", "<=", ">", ">="))
_LOGICAL = frozenset(("&&", "||", "->", "<->"))


def evaluate(expr: ex.Expr, scope: Scope, width: int | None, type: ElabType | None) -> Value:
    """The value of `expr`, as `constants.evaluate` says."""
    if type is not None:
        return _evaluate_as(expr, scope, type)
    if width is None:
        return self_determined(expr, scope)
    shape = shape_of(expr, scope)
    if isinstance(shape, Unknown):
        return self_determined(expr, scope)
    if shape.kind == "int" and shape.width < width:
        shape = Shape(width, shape.signed)
    return in_context(expr, scope, shape)


def _evaluate_as(expr: ex.Expr, scope: Scope, type: ElabType) -> Value:
    """The value of `expr` assigned to an object of `type` (10.7, 10.9)."""
    match expr:
        case ex.Pattern():
            return _placed(pattern_value(expr, type, scope), expr)
        case ex.Concat(parts=parts) if isinstance(type, Array | Shapeless):
            items = tuple((None, part) for part in parts)
            return _placed(pattern_value(ex.Pattern(items, span=expr.span), type, scope), expr)
        case ex.Conditional() if isinstance(type, Array | Struct | Shapeless):
            chosen = truth(self_determined(expr.condition, scope))
            if isinstance(chosen, Unknown):
                return chosen
            return _evaluate_as(expr.then if chosen else expr.otherwise, scope, type)
        case _:
            size = bits(type) if isinstance(type, Vector | Enum | Struct) else None
            width = None if isinstance(size, Unknown) else size
            return _placed(convert_verilog(evaluate(expr, scope, width, None), type), expr)


def _placed(value: Value, expr: ex.Expr) -> Value:
    return value.at(expr.span) if isinstance(value, Unknown) else value


def self_determined(expr: ex.Expr, scope: Scope) -> Value:
    """The value of an expression whose context gives it no width."""
    leaf = LEAVES.get(expr.__class__)
    if leaf is not None:
        return _placed(leaf(expr, scope), expr)
    shape = shape_of(expr, scope)
    if not isinstance(shape, Unknown):
        return in_context(expr, scope, shape)
    # A conditional may have a value though the branch not taken has none.
    return _conditional(expr, scope, OTHER_SHAPE) if isinstance(expr, ex.Conditional) else shape


def in_context(expr: ex.Expr, scope: Scope, shape: Shape) -> Value:
    """The value of an expression whose context has given it a width and sign."""
    kind = expr.__class__
    if shape.width > LARGEST_VECTOR:
        return Unknown(f"an expression of {spell(shape.width)} bits is too long to evaluate", expr.span)
    if kind is ex.Binary:
        return _placed(_binary(expr, scope, shape), expr)  # type: ignore[arg-type]
    if isinstance(expr, ex.Number) and expr.fill:
        if expr.value is None:
            return Unknown("the literal has x or z digits", expr.span)
        return (
            vector(-expr.value, shape.width, shape.signed)
            if shape.kind == "int"
            else Int(expr.value, 1, False)
        )
    leaf = LEAVES.get(kind)
    if leaf is not None:
        value = leaf(expr, scope)
        if value.__class__ is Int and value.width == shape.width and value.signed == shape.signed:
            return value if shape.kind == "int" else _placed(to_shape(value, shape), expr)
        return _placed(to_shape(value, shape), expr)
    match expr:
        case ex.Unary(op="+" | "-" | "~"):
            return _placed(_unary(expr, scope, shape), expr)
        case ex.Unary():
            return _placed(to_shape(_self_determined_unary(expr, scope), shape), expr)
        case ex.Conditional():
            return _conditional(expr, scope, shape)
        case _:
            return Unknown("this expression is not evaluated", expr.span)


def _operand(expr: ex.Expr, scope: Scope, shape: Shape) -> Value:
    """An operand of an operator of that shape; beside a real it is evaluated by itself first."""
    if shape.kind == "real":
        return to_shape(self_determined(expr, scope), shape)
    return in_context(expr, scope, shape)


def _unary(expr: ex.Unary, scope: Scope, shape: Shape) -> Value:
    value = _operand(expr.operand, scope, shape)
    match value:
        case Int(value=number):
            if expr.op == "+":
                return value
            return fit(-number if expr.op == "-" else ~number, shape.width, shape.signed)
        case Real(value=real) if expr.op != "~":
            return Real(-real) if expr.op == "-" else value
        case Unknown():
            return value
        case _:
            return Unknown(f"`{expr.op}` needs a number")


def _self_determined_unary(expr: ex.Unary, scope: Scope) -> Value:
    if expr.op in ("++", "--"):
        return Unknown(f"`{expr.op}` changes a variable inside an expression")
    value = self_determined(expr.operand, scope)
    if expr.op == "!":
        known = truth(value)
        return known if isinstance(known, Unknown) else bit(not known)
    return reduce(expr.op, value)


def _binary(expr: ex.Binary, scope: Scope, shape: Shape) -> Value:
    op = expr.op
    if op in ARITHMETIC:
        left = _operand(expr.left, scope, shape)
        if isinstance(left, Unknown):
            return left
        return arithmetic(op, left, _operand(expr.right, scope, shape), shape)
    if op in SHIFTS:
        return shift(op, _operand(expr.left, scope, shape), self_determined(expr.right, scope), shape)
    if op == "**":
        if shape.kind == "real":
            exponent = to_shape(self_determined(expr.right, scope), shape)
            return arithmetic(op, _operand(expr.left, scope, shape), exponent, shape)
        return power(_operand(expr.left, scope, shape), self_determined(expr.right, scope), shape)
    if op in _COMPARISONS:
        return to_shape(_comparison(expr, scope), shape)
    if op in _LOGICAL:
        return to_shape(_logical(expr, scope), shape)
    return Unknown(f"the operator `{op}` is not known")


def _logical(expr: ex.Binary, scope: Scope) -> Value:
    left = truth(self_determined(expr.left, scope))
    if (expr.op == "&&" and left is False) or (expr.op == "||" and left is True):
        return bit(left)
    return logical(expr.op, left, truth(self_determined(expr.right, scope)))


def _comparison(expr: ex.Binary, scope: Scope) -> Value:
    """Operands of a comparison take the larger width of the two (11.6.1)."""
    left, right = _leaf_value(expr.left, scope), _leaf_value(expr.right, scope)
    if isinstance(left, Int) and isinstance(right, Int) and left.signed == right.signed:
        return compare(expr.op, left, right)
    shared = combine(shape_of(expr.left, scope), shape_of(expr.right, scope))
    if isinstance(shared, Unknown):
        return shared
    if shared.kind == "other":
        return _compare_aggregates(expr, scope)
    first = in_context(expr.left, scope, shared)
    if isinstance(first, Unknown):
        return first
    return compare(expr.op, first, in_context(expr.right, scope, shared))


def _leaf_value(expr: ex.Expr, scope: Scope) -> Value | None:
    """The value of a name or literal, which no context changes if widths do not matter; else None."""
    if isinstance(expr, ex.Name) or (isinstance(expr, ex.Number) and not expr.fill):
        return LEAVES[expr.__class__](expr, scope)
    return None


def _compare_aggregates(expr: ex.Binary, scope: Scope) -> Value:
    left, right = expr.left, expr.right
    if isinstance(left, ex.Pattern):
        left, right = right, left
    first = self_determined(left, scope)
    type = type_of_value(first)
    wanted = type if isinstance(right, ex.Pattern) and not isinstance(type, Unknown) else None
    second = evaluate(right, scope, None, wanted)
    if isinstance(first, TypeValue) and isinstance(second, TypeValue):
        return bit((first.type == second.type) == expr.op.startswith("=="))
    return compare(expr.op, first, second)


def _conditional(expr: ex.Conditional, scope: Scope, shape: Shape) -> Value:
    chosen = truth(self_determined(expr.condition, scope))
    if isinstance(chosen, Unknown):
        first = _branch(expr.then, scope, shape)
        same = not isinstance(first, Unknown) and first == _branch(expr.otherwise, scope, shape)
        return first if same else chosen
    return _branch(expr.then if chosen else expr.otherwise, scope, shape)


def _branch(expr: ex.Expr, scope: Scope, shape: Shape) -> Value:
    if shape.kind != "other":
        return _operand(expr, scope, shape)
    # The other branch has no shape that is known: this one counts only if a wider context leaves it alone.
    value = self_determined(expr, scope)
    if isinstance(value, Int) and value.width is not None:
        wider = evaluate(expr, scope, value.width + 64, None)
        if isinstance(wider, Int) and wider.value != value.value:
            return Unknown("its width depends on an operand that is not known", expr.span)
    return value
