"""What only simulation knows: conditions on metavalues, and statements that verify and report."""

from __future__ import annotations

from memlint.reading.facts.expressions import Binary, Call, Expr, Member, Name, Unary
from memlint.reading.facts.statements import Block, CallStatement, Case, For, If, Loop, Statement, Timed

# System tasks that give an array its contents; all others report, or end the simulation.
CONTENT_TASKS = frozenset(("$readmemh", "$readmemb", "$fread"))


def simulated(condition: Expr) -> bool | None:
    """What a VHDL condition on metavalues comes to in hardware, None for any other condition.

    `is_x(…)` of `ieee.std_logic_1164` is false wherever no `X` can exist (IEEE Std 1076.6-2004 lets
    synthesis take it so; from memory), so a branch on it is not part of the design.
    """
    match condition:
        case Call(function=Name(name="is_x") | Member(name="is_x")):
            return False
        case Unary(op="not" | "!", operand=operand):
            inner = simulated(operand)
            return None if inner is None else not inner
        case Binary(op="&" | "&&" | "|" | "||" as op, left=left, right=right):
            deciding = op in ("|", "||")
            sides = (simulated(left), simulated(right))
            if deciding in sides:
                return deciding
            return None if None in sides else not deciding
        case _:
            return None


def only_verifies(node: Statement | None) -> bool:
    """Whether a statement does nothing but report: `$error`, `$display`, `assert` and no statement at all.

    Readers leave assertions and VHDL's `report` out, so what is left of such a branch is empty.
    """
    match node:
        case None:
            return True
        case Block(statements=statements):
            return all(only_verifies(one) for one in statements)
        case If(then=then, otherwise=otherwise):
            return only_verifies(then) and only_verifies(otherwise)
        case Case(arms=arms):
            return all(only_verifies(arm.body) for arm in arms)
        case For(body=body) | Loop(body=body) | Timed(body=body):
            return only_verifies(body)
        case CallStatement(call=Call(function=Name(name=name))):
            return name.startswith("$") and name not in CONTENT_TASKS
        case _:
            return False
