"""Combinational signals that are the next value of a register: two-process style.

One process works out the next state (`v := r; v.word := line(at); r_in <= v;`), another takes it over
(`r <= r_in`). What the first does not assign is the register's own value, so a branch is an enable.
"""

from __future__ import annotations

from memlint.design.body import Drive, SelectStep, Signal
from memlint.design.hierarchy import Node
from memlint.design.signals import resolve
from memlint.design.uses import Use, uses

Part = tuple[SelectStep, ...]
_DEEPEST = 8


def other_part(steps: Part, part: Part) -> bool:
    """Whether two selects surely name different fields of a record."""
    for a, b in zip(steps, part, strict=False):
        if a.kind == "field" and b.kind == "field" and a.name != b.name:
            return True
    return False


def carried(use: Use, drive: Drive, part: Part) -> Part:
    """The part of a drive's target that holds what was `part` of the signal used for its value."""
    if use.span != drive.value.span or use.signal.item.name == drive.signal.item.name:
        # Joined with more, converted or the like: somewhere in the target.
        return drive.steps
    return (*drive.steps, *part[len(use.steps) :])


def register_behind(node: Node, signal: Signal, part: Part, depth: int = 0) -> Signal | None:
    """The one register of the same body that a combinational signal, or a part of it, goes straight into."""
    found: Signal | None = None
    for use in uses(node.body).get(signal, []):
        drive = use.drive
        if other_part(use.steps, part) or (drive is not None and drive.initial):
            continue
        if use.kind != "value" or use.logic or use.others or drive is None:
            return None
        one: Signal | None = drive.signal
        if drive.clock is None:
            if drive.guards or depth >= _DEEPEST:
                return None
            one = register_behind(node, drive.signal, carried(use, drive, part), depth + 1)
        if one is None or (found is not None and found is not one):
            return None
        found = one
    return found


def holds(node: Node, drive: Drive, register: Signal) -> bool:
    """Whether a drive gives the next value the register's own, part for part."""
    found = resolve(drive.value, drive.scope, node.body)
    if found is None or found[0] is not register:
        return False
    return [(one.kind, one.name) for one in found[1]] == [(one.kind, one.name) for one in drive.steps]


def overridden(earlier: Drive, by: Drive) -> bool:
    """Whether a drive of one process never counts, because another follows wherever it is made."""
    if earlier.process is not by.process or earlier.order >= by.order or by.loops:
        return False
    return by.guards == earlier.guards[: len(by.guards)]
