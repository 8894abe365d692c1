"""Which memory of one state of a project is which of another."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from memlint.rules.view import MemoryView

_INDEX = re.compile(r"\[(\d+)\]")


@dataclass(frozen=True, slots=True)
class Matching:
    """Memories that are the same on both sides, in order of the new path, and those of one side alone.

    `renamed` leads from an instance's old path to its new one, for instances that hold a memory whose path
    changed.
    """

    pairs: tuple[tuple[MemoryView, MemoryView], ...]
    added: tuple[MemoryView, ...]
    removed: tuple[MemoryView, ...]
    renamed: Mapping[str, str]

    def path_now(self, old: str) -> str:
        """The path that a memory, instance or net of the old side has on the new one."""
        above = old
        while above:
            if above in self.renamed:
                return self.renamed[above] + old[len(above) :]
            above = above.rpartition(".")[0]
        return old


def match(old: Sequence[MemoryView], new: Sequence[MemoryView]) -> Matching:
    """By path; what is left by unit, name and shape, where only one memory can be meant."""
    before = {view.memory.path: view for view in old}
    after = {view.memory.path: view for view in new}
    pairs = [(before[path], view) for path, view in after.items() if path in before]
    gone = [view for path, view in before.items() if path not in after]
    come = [view for path, view in after.items() if path not in before]
    moved = _moved(gone, come)
    renamed: dict[str, str] = {}
    for one, other in moved:
        renamed.setdefault(*_differing(one.memory.path, other.memory.path))
    left = {id(view) for pair in moved for view in pair}
    return Matching(
        tuple(sorted((*pairs, *moved), key=lambda pair: pair[1].memory.path)),
        tuple(view for view in come if id(view) not in left),
        tuple(view for view in gone if id(view) not in left),
        renamed,
    )


def _moved(gone: Sequence[MemoryView], come: Sequence[MemoryView]) -> list[tuple[MemoryView, MemoryView]]:
    found: list[tuple[MemoryView, MemoryView]] = []
    alike: dict[object, tuple[list[MemoryView], list[MemoryView]]] = {}
    for side, views in enumerate((gone, come)):
        for view in views:
            alike.setdefault(_likeness(view), ([], []))[side].append(view)
    for before, after in alike.values():
        for one in before:
            nearest = _nearest(one, after)
            if nearest is not None and _nearest(nearest, before) is one:
                found.append((one, nearest))
    return found


def _likeness(view: MemoryView) -> object:
    memory = view.memory
    return memory.unit, memory.name, memory.depth, memory.width, memory.banks


def _nearest(one: MemoryView, others: Sequence[MemoryView]) -> MemoryView | None:
    """The memory whose path has most in common with this one's; None where several have as much."""
    ranked = sorted(others, key=lambda other: _common(one.memory.path, other.memory.path), reverse=True)
    shared = [_common(one.memory.path, other.memory.path) for other in ranked[:2]]
    return ranked[0] if ranked and (len(shared) == 1 or shared[0] > shared[1]) else None


def _common(one: str, other: str) -> tuple[int, bool]:
    """Steps that two paths begin and end with alike, then whether their indices are the same: a generate
    block of another label has them still."""
    first, second = one.split("."), other.split(".")
    steps = _alike(first, second) + _alike(first[::-1], second[::-1])
    return steps, _INDEX.findall(one) == _INDEX.findall(other)


def _alike(first: Sequence[str], second: Sequence[str]) -> int:
    count = 0
    for one, other in zip(first, second, strict=False):
        if one != other:
            break
        count += 1
    return count


def _differing(old: str, new: str) -> tuple[str, str]:
    """Two paths without the steps that both end with."""
    first, second = old.split("."), new.split(".")
    same = min(_alike(first[::-1], second[::-1]), len(first) - 1, len(second) - 1)
    return ".".join(first[: len(first) - same]), ".".join(second[: len(second) - same])
