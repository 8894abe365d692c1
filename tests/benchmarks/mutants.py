"""Small mistakes put into a syntax tree, one at a time: what the tests of a layer should notice.

A place in the tree is changed by `put` and restored by its answer, so that one parse serves all mutants of
a file. Left alone are what no test can see or no reader would get wrong: texts, decorators, annotations,
`assert`, `strict=` and `__slots__`.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

COMPARED: Final[dict[type[ast.cmpop], type[ast.cmpop]]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
RECKONED: Final[dict[type[ast.operator], type[ast.operator]]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.Div: ast.Mult,
}
JOINED: Final[dict[type[ast.boolop], type[ast.boolop]]] = {ast.And: ast.Or, ast.Or: ast.And}
REMOVED: Final = (ast.Expr, ast.AugAssign, ast.Raise, ast.Continue, ast.Break, ast.Delete)

Undo = Callable[[], None]


@dataclass(frozen=True, slots=True)
class Mutant:
    """One mistake: `lines` are those of the changed node, `statement` those of the statement it is in."""

    kind: str
    change: str
    lines: tuple[int, int]
    column: int
    statement: tuple[int, int]
    put: Callable[[], Undo] = field(compare=False, repr=False)

    @property
    def name(self) -> str:
        """The same for the same source: line, column and change."""
        return f"{self.lines[0]}:{self.column + 1} {self.kind} {self.change}"


def mutants(tree: ast.Module) -> list[Mutant]:
    """All of a file, in the order of its text."""
    return sorted(_of_body(tree), key=lambda one: (one.lines, one.column, one.kind, one.change))


def _of_body(parent: ast.AST) -> Iterator[Mutant]:
    for name, value in ast.iter_fields(parent):
        if not isinstance(value, list):
            continue
        for at, one in enumerate(value):
            if isinstance(one, ast.stmt):
                yield from _of_statement(value, at, one)
            elif isinstance(one, ast.ExceptHandler | ast.match_case) and name in ("handlers", "cases"):
                yield from _of_body(one)
                if isinstance(one, ast.match_case) and one.guard is not None:
                    yield from _of_expression(one.guard, one.guard)


def _of_statement(body: list[Any], at: int, one: ast.stmt) -> Iterator[Mutant]:
    if isinstance(one, ast.Assert | ast.Import | ast.ImportFrom) or _is_text(one) or _is_slots(one):
        return
    if isinstance(one, REMOVED):
        nothing = ast.copy_location(ast.Pass(), one)
        yield _mutant("removed", ast.unparse(one), one, one, lambda: _item(body, at, nothing))
    if isinstance(one, ast.Return) and one.value is not None and not _is_none(one.value):
        yield _mutant("returned", "None", one, one, lambda: _attribute(one, "value", None))
    for name, value in ast.iter_fields(one):
        if name in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.expr | ast.arguments | ast.keyword | ast.withitem):
                yield from _of_expression(child, one)
    yield from _of_body(one)


def _of_expression(top: ast.AST, statement: ast.AST) -> Iterator[Mutant]:
    for node in _expressions(top):
        match node:
            case ast.Compare():
                for at, op in enumerate(node.ops):
                    other = COMPARED[type(op)]
                    change = f"{type(op).__name__} -> {other.__name__} in {ast.unparse(node)}"
                    yield _mutant("compared", change, node, statement, _changing(node.ops, at, other()))
            case ast.BinOp() if type(node.op) in RECKONED:
                yield _operator("reckoned", node, RECKONED[type(node.op)], statement)
            case ast.AugAssign() if type(node.op) in RECKONED:
                yield _operator("reckoned", node, RECKONED[type(node.op)], statement)
            case ast.BoolOp():
                yield _operator("joined", node, JOINED[type(node.op)], statement)
            case ast.UnaryOp(op=ast.Not()):
                kept = ast.copy_location(ast.UnaryOp(ast.Not(), node.operand), node)
                yield _mutant("negated", ast.unparse(node), node, statement, _setting(node, "operand", kept))
            case ast.Constant(value=bool()):
                value = not node.value
                yield _mutant(
                    "constant", f"{node.value} -> {value}", node, statement, _setting(node, "value", value)
                )
            case ast.Constant(value=int()):
                for value in (node.value + 1, node.value - 1):
                    change = f"{node.value} -> {value}"
                    yield _mutant("constant", change, node, statement, _setting(node, "value", value))


def _expressions(top: ast.AST) -> Iterator[ast.AST]:
    """The node and all below it, but for annotations of arguments and what only guards against ourselves."""
    if isinstance(top, ast.keyword) and top.arg == "strict":
        return
    yield top
    for name, value in ast.iter_fields(top):
        if name in ("annotation", "format_spec"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield from _expressions(child)


def _operator(kind: str, node: Any, other: type[ast.AST], statement: ast.AST) -> Mutant:
    change = f"{type(node.op).__name__} -> {other.__name__} in {ast.unparse(node)}"
    return _mutant(kind, change, node, statement, _setting(node, "op", other()))


def _mutant(kind: str, change: str, node: Any, statement: Any, put: Callable[[], Undo]) -> Mutant:
    inside = (statement.lineno, statement.end_lineno)
    if isinstance(statement, ast.stmt) and hasattr(statement, "body"):
        inside = (statement.lineno, max(statement.lineno, statement.body[0].lineno - 1))
    lines = (node.lineno, node.end_lineno)
    return Mutant(kind, " ".join(change.split()), lines, node.col_offset, inside, put)


def _changing(ops: list[Any], at: int, other: ast.AST) -> Callable[[], Undo]:
    return lambda: _item(ops, at, other)


def _setting(node: ast.AST, name: str, value: Any) -> Callable[[], Undo]:
    return lambda: _attribute(node, name, value)


def _item(owner: list[Any], at: int, value: Any) -> Undo:
    before, owner[at] = owner[at], value
    return lambda: owner.__setitem__(at, before)


def _attribute(node: ast.AST, name: str, value: Any) -> Undo:
    before = getattr(node, name)
    setattr(node, name, value)
    return lambda: setattr(node, name, before)


def _is_text(one: ast.stmt) -> bool:
    return isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant)


def _is_slots(one: ast.stmt) -> bool:
    return isinstance(one, ast.Assign) and any(
        isinstance(target, ast.Name) and target.id == "__slots__" for target in one.targets
    )


def _is_none(value: ast.expr) -> bool:
    return isinstance(value, ast.Constant) and value.value is None
