"""The column question put to an integer-programming solver, where one is installed (extra `solver`).

Asked only after our own search has given up; its arrangement is checked like ours.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from memlint.mapping.columns_search import Packed

MOST_FILLINGS = 20_000
"""Fillings of columns up to which the solver is asked."""

MOST_NODES = 20_000
"""Nodes of the solver's tree: a count and not a time, so that a slower machine gives the same answer."""


def is_installed() -> bool:
    """Whether highspy can be imported."""
    return find_spec("highspy") is not None


def solve_columns(lengths: Sequence[int], heights: Sequence[int]) -> Packed:
    """As `columns_search.pack`; neither found nor excluded where the solver is not there or gives up."""
    unknown = Packed(None, False)
    if not lengths or not is_installed():
        return unknown
    counts, columns = Counter(lengths), Counter(heights)
    kinds = sorted(counts, reverse=True)
    fillings: list[tuple[int, tuple[int, ...]]] = []
    for height in sorted(columns):
        for filling in _fillings(kinds, counts, height):
            fillings.append((height, filling))
            if len(fillings) > MOST_FILLINGS:
                return unknown
    chosen, complete = _solve(fillings, kinds, counts, columns)
    if chosen is None:
        return Packed(None, complete)
    held = _columns(chosen, kinds, counts, heights)
    return unknown if held is None else Packed(held, True)


def _fillings(
    kinds: Sequence[int], counts: Counter[int], height: int, at: int = 0
) -> Iterator[tuple[int, ...]]:
    """How many of each kind a column holds, for every filling that leaves no room for the shortest."""
    if at == len(kinds):
        yield ()
        return
    kind = kinds[at]
    most = min(counts[kind], height // kind)
    # The last kind is taken as often as it fits: more than are needed does no harm.
    for number in range(most, most - 1 if at == len(kinds) - 1 else -1, -1):
        for rest in _fillings(kinds, counts, height - number * kind, at + 1):
            yield (number, *rest)


def _solve(
    fillings: Sequence[tuple[int, tuple[int, ...]]],
    kinds: Sequence[int],
    counts: Counter[int],
    columns: Counter[int],
) -> tuple[list[tuple[int, tuple[int, ...]]] | None, bool]:
    """The fillings to use, one a column, or None and whether there are none for certain."""
    highspy: Any = import_module("highspy")
    solver = _quiet(highspy)
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("mip_max_nodes", MOST_NODES)
    used = [solver.addIntegral(0, columns[height]) for height, _ in fillings]
    for height, count in columns.items():
        solver.addConstr(
            sum(use for use, (at, _) in zip(used, fillings, strict=True) if at == height) <= count
        )
    for index, kind in enumerate(kinds):
        held = [
            filling[index] * use for use, (_, filling) in zip(used, fillings, strict=True) if filling[index]
        ]
        if not held:
            return None, True
        solver.addConstr(sum(held) >= counts[kind])
    solver.solve()
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None, True
    if status != highspy.HighsModelStatus.kOptimal:
        return None, False
    values = solver.vals(used)
    return [one for one, value in zip(fillings, values, strict=True) for _ in range(round(value))], True


def _quiet(highspy: Any) -> Any:
    """A solver that prints nothing: the banner it prints while it is made would stand before a report."""

    def enable(solver: Any) -> None:
        solver.silent()
        highspy.Highs.enableCallbacks(solver)

    return type("Quiet", (highspy.Highs,), {"enableCallbacks": enable})()


def _columns(
    chosen: Sequence[tuple[int, tuple[int, ...]]],
    kinds: Sequence[int],
    counts: Counter[int],
    heights: Sequence[int],
) -> tuple[tuple[int, ...], ...] | None:
    """The chains in each column; None if the solver's answer does not hold them all after rounding."""
    left = dict(counts)
    waiting = list(chosen)
    held: list[tuple[int, ...]] = []
    for height in heights:
        at = next((index for index, one in enumerate(waiting) if one[0] == height), None)
        filling = waiting.pop(at)[1] if at is not None else (0,) * len(kinds)
        column: list[int] = []
        for kind, number in zip(kinds, filling, strict=True):
            taken = min(number, left[kind])
            left[kind] -= taken
            column += [kind] * taken
        held.append(tuple(column))
    return None if any(left.values()) or waiting else tuple(held)
