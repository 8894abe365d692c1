"""The treemap: bits taken on the chip, by the unit that declares them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from memlint.reports.html.figures import bits, figure, share
from memlint.reports.html.markup import Markup, join, memory_link, name, tag
from memlint.reports.html.treemap import Box, tiled
from memlint.reports.html.usage import Usage, usage
from memlint.rules.view import MemoryView
from memlint.rules.wording import plural

SIZES = (("wide", Box(0, 0, 1200, 440)), ("tall", Box(0, 0, 400, 560)))
_HEAD = 17.0
_LETTER = 6.3
_LEAST = 14.0
"""Area in square pixels below which memories of a unit are drawn as one."""


@dataclass(frozen=True, slots=True)
class _Unit:
    name: str
    leaves: tuple[tuple[MemoryView, Usage], ...]

    @property
    def taken(self) -> Fraction:
        """Bits taken."""
        return sum((one.taken for _, one in self.leaves), Fraction(0))

    @property
    def used(self) -> Fraction:
        """Bits that hold something."""
        return sum((one.used for _, one in self.leaves), Fraction(0))


def mosaic(memories: Sequence[MemoryView], colours: Mapping[str, str]) -> Markup | None:
    """The figure with the table of its numbers; None where nothing is taken."""
    units = _units(memories)
    if not units:
        return None
    drawings = [tag("div", _drawing(units, box, colours), class_=f"only-{kind}") for kind, box in SIZES]
    return join(tag("div", drawings, class_="mosaic"), _table(units))


def _units(memories: Sequence[MemoryView]) -> list[_Unit]:
    found: dict[str, list[tuple[MemoryView, Usage]]] = {}
    for view in memories:
        one = usage(view)
        if one is not None and one.taken > 0:
            found.setdefault(view.memory.unit, []).append((view, one))
    units = [
        _Unit(unit, tuple(sorted(leaves, key=lambda leaf: (-leaf[1].taken, leaf[0].memory.path))))
        for unit, leaves in found.items()
    ]
    return sorted(units, key=lambda unit: (-unit.taken, unit.name))


def _drawing(units: Sequence[_Unit], box: Box, colours: Mapping[str, str]) -> Markup:
    boxes = tiled([float(unit.taken) for unit in units], box)
    return tag(
        "svg",
        tag("title", "Treemap of the bits taken by each unit; the table below has its numbers"),
        [_unit(unit, at, colours) for unit, at in zip(units, boxes, strict=True)],
        viewBox=f"0 0 {box.w:g} {box.h:g}",
        role="img",
    )


def _unit(unit: _Unit, box: Box, colours: Mapping[str, str]) -> Markup:
    box = box.inset(1.5, 1.5, 1.5, 1.5)
    has_head = box.h > 2.4 * _HEAD and box.w > 40
    inner = box.inset(2, _HEAD, 2, 2) if has_head else box.inset(1, 1, 1, 1)
    scale = inner.w * inner.h / float(unit.taken)
    large = [leaf for leaf in unit.leaves if float(leaf[1].taken) * scale >= _LEAST]
    rest = unit.leaves[len(large) :]
    amounts = [float(one.taken) for _, one in large]
    small = float(sum(one.taken for _, one in rest))
    drawn = tiled([*amounts, small] if rest else amounts, inner)
    shapes: list[Markup | None] = []
    if has_head:
        shapes.append(_text(unit.name, box.x + 5, box.y + 12.5, box.w - 8, "head"))
    labels = _labels([view for view, _ in unit.leaves])
    shapes += [
        _leaf(view, one, at, colours, label)
        for (view, one), at, label in zip(large, drawn, labels, strict=False)
    ]
    if rest and drawn:
        count = f"{len(rest)} small ones in {unit.name}"
        shapes.append(tag("g", tag("title", count), _rect(drawn[-1], "rest")))
    return tag("g", tag("title", _unit_title(unit)), _rect(box, "unit", 3), shapes)


def _unit_title(unit: _Unit) -> str:
    return f"{unit.name}: {plural(len(unit.leaves), 'memory', 'memories')}, {bits(unit.taken)} taken"


def _labels(views: Sequence[MemoryView]) -> list[str]:
    """What tells a unit's memories apart: names, instances where several share one, or both."""
    instances = {view.memory.path.rpartition(".")[0] for view in views}
    names = {view.memory.name for view in views}
    found = []
    for view in views:
        instance = view.memory.path.removesuffix(f".{view.memory.name}").rpartition(".")[2]
        if len(instances) == 1:
            found.append(view.memory.name)
        else:
            found.append(instance if len(names) == 1 else f"{instance}.{view.memory.name}")
    return found


def _leaf(view: MemoryView, one: Usage, box: Box, colours: Mapping[str, str], label: str) -> Markup:
    """The whole is what is taken, the strong part from below what is used."""
    box = box.inset(0.75, 0.75, 0.75, 0.75)
    tier = view.tier.name if view.tier else ""
    full = float(one.used / one.taken) * box.h
    title = f"{view.memory.path}: {bits(one.taken)} taken in {tier}, {share(one.used / one.taken)} used"
    shown = _text(label, box.x + 4, box.y + 13, box.w - 6, "leaf") if box.h > 18 else None
    return tag(
        "a",
        tag("title", title),
        _rect(box, "taken"),
        _rect(Box(box.x, box.y + box.h - full, box.w, full), "used"),
        shown,
        href=memory_link(view.memory.path),
        tabindex=-1,
        class_=colours.get(tier),
    )


def _rect(box: Box, class_: str, radius: float | None = None) -> Markup:
    return tag("rect", x=box.x, y=box.y, width=box.w, height=box.h, rx=radius, class_=class_)


def _text(text: str, x: float, y: float, room: float, class_: str) -> Markup | None:
    """The text, cut to the room there is; nothing where hardly a letter would be left."""
    letters = int(room / _LETTER)
    if letters < 3:
        return None
    shown = text if len(text) <= letters else text[: letters - 1] + "…"
    return tag("text", shown, x=x, y=y, class_=class_)


def _table(units: Sequence[_Unit]) -> Markup:
    head = tag("tr", [tag("th", text, scope="col", class_=kind) for text, kind in (
        ("Unit", None), ("Memories", "number"), ("Bits taken", "number"), ("Used", "number"))])  # fmt: skip
    rows = []
    for unit in units:
        rows.append(
            tag(
                "tr",
                tag("th", name(unit.name), scope="row"),
                tag("td", figure(len(unit.leaves)), class_="number"),
                tag("td", figure(unit.taken), class_="number"),
                tag("td", share(unit.used / unit.taken), class_="number"),
            )
        )
    table = tag("table", tag("thead", head), tag("tbody", rows), class_="plain")
    title = tag("summary", f"The numbers of {plural(len(units), 'unit')}")
    return tag("details", title, tag("div", table, class_="scroll"))
