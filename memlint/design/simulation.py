"""Conditions that only simulation knows: hardware has no metavalues."""

from __future__ import annotations

from memlint.reading.facts.expressions import Binary, Call, Expr, Member, Name, Unary


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
