"""Nets that a project declares to be one clock: `[clocks] same` names nets anywhere on a clock's way."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence

from memlint.design.body import Signal
from memlint.design.hierarchy import Node

Source = tuple[str, str | None]
"""A net and the net it is gated from."""

_SELECTS = re.compile(r"((?:\[[^\]]*\])*)\Z")


def equal_nets(
    groups: Sequence[Sequence[str]],
    nodes: Iterable[Node],
    source: Callable[[Node, Signal, str], Source],
) -> Mapping[str, Source]:
    """What stands for each net that is declared equal to another: the first name of its group, as it is
    written, since that is the one its writer knows it by.

    Names on the way from one source are one net, so a group reaches every name of the nets it names.
    `source` follows a signal, with a constant select of it as text, to where it comes from.
    """
    by_path = {node.path: node for node in nodes}
    stands_for: dict[str, Source] = {}
    for group in groups:
        nets = {}
        for name in group:
            found = _located(name, by_path)
            nets[name] = (name, None) if found is None else source(*found)
        known = next((stands_for[net] for net, _ in nets.values() if net in stands_for), None)
        first = known or (group[0], nets[group[0]][1])
        joined = {stands_for[net] for net, _ in nets.values() if net in stands_for}
        for net, other in list(stands_for.items()):
            if other in joined:
                stands_for[net] = first
        for name, (net, _) in nets.items():
            stands_for[net] = stands_for[name] = first
    return stands_for


def unknown_nets(groups: Sequence[Sequence[str]], nodes: Iterable[Node]) -> list[tuple[str, list[str]]]:
    """The names in the groups that are no net, each with the nets of the instance it leads to."""
    by_path = {node.path: node for node in nodes}
    found = []
    for name in dict.fromkeys(name for group in groups for name in group):
        if _located(name, by_path) is None:
            above = [name[:at] for at in range(len(name)) if name[at] == "."]
            node = next((by_path[path] for path in reversed(above) if path in by_path), None)
            found.append((name, [] if node is None else [f"{node.path}.{one}" for one in node.body.signals]))
    return found


def _located(name: str, by_path: Mapping[str, Node]) -> tuple[Node, Signal, str] | None:
    """The signal a dotted net name means, in the deepest instance that its path leads to."""
    end = name.rfind(".")
    while end > 0:
        node = by_path.get(name[:end])
        if node is not None:
            match = _SELECTS.search(name)
            select = match[1] if match is not None else ""
            whole = name[end + 1 :]
            for local, part in ((whole, ""), (whole.removesuffix(select), select)):
                signal = node.body.signals.get(local)
                if signal is not None:
                    return node, signal, part
            return None
        end = name.rfind(".", 0, end)
    return None
