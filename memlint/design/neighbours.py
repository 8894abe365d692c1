"""The arrays of a body side by side: found by what they are, what copies them and what drives them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from memlint.design.arrays import ArrayFacts
from memlint.design.body import Body, Contents, Drive, Signal
from memlint.design.parts import actuals, port_directions
from memlint.design.signals import resolve


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Looked up once for all arrays of a body: there may be thousands.

    `copies` are, by the array that is read, the arrays of wires that may take over its words, with the
    drives that do; `outputs` the ports of instances (`u_a.q`) that drive an array or a part of it.
    """

    by_signal: Mapping[Signal, list[ArrayFacts]]
    by_name: Mapping[str, list[ArrayFacts]]
    copies: Mapping[Signal, list[tuple[ArrayFacts, Drive]]]
    outputs: Mapping[Signal, list[str]]
    contents: Mapping[Signal, list[Contents]]


def neighbours(every: list[ArrayFacts], body: Body) -> Neighbours:
    """The arrays of a body, looked up."""
    by_signal: dict[Signal, list[ArrayFacts]] = {}
    by_name: dict[str, list[ArrayFacts]] = {}
    copies: dict[Signal, list[tuple[ArrayFacts, Drive]]] = {}
    for one in every:
        by_signal.setdefault(one.signal, []).append(one)
        by_name.setdefault(one.signal.item.name, []).append(one)
        for drive in _of_wires(one):
            found = resolve(drive.value, drive.scope, body)
            if found is not None:
                copies.setdefault(found[0], []).append((one, drive))
    contents: dict[Signal, list[Contents]] = {}
    for given in body.contents:
        contents.setdefault(given.signal, []).append(given)
    return Neighbours(by_signal, by_name, copies, _driving_outputs(by_signal, body), contents)


def _of_wires(one: ArrayFacts) -> list[Drive]:
    """The drives of an array that only wires drive, each of them whole; none if it is anything else."""
    if any(write.node is not None for write in one.writes):
        return []
    drives = [*one.whole_writes, *(write.drive for write in one.writes)]
    plain = all(drive.clock is None and not drive.guards and not drive.part for drive in drives)
    return drives if plain else []


def _driving_outputs(arrays: Mapping[Signal, list[ArrayFacts]], body: Body) -> Mapping[Signal, list[str]]:
    found: dict[Signal, dict[str, None]] = {}
    directions: dict[int, dict[str, str]] = {}
    for child in body.children if arrays else ():
        if child.unit is None:
            continue
        ports = directions.get(id(child.unit))
        if ports is None:
            ports = directions[id(child.unit)] = port_directions(child.unit)
        for port, connection in child.connections.items():
            if connection.value is None or ports.get(port) not in ("output", "inout"):
                continue
            for _, actual in actuals(connection.value):
                target = resolve(actual, child.scope, body)
                if target is not None and target[0] in arrays:
                    found.setdefault(target[0], {})[f"{child.name}.{port}"] = None
    return {signal: list(names) for signal, names in found.items()}
