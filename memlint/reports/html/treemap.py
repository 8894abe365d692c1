"""Rectangles whose areas are in proportion to given amounts, as near to squares as rows of them come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: its upper left corner, width and height."""

    x: float
    y: float
    w: float
    h: float

    def inset(self, left: float, top: float, right: float, bottom: float) -> Box:
        """The rectangle inside these margins, never smaller than nothing."""
        w, h = max(0.0, self.w - left - right), max(0.0, self.h - top - bottom)
        return Box(self.x + left, self.y + top, w, h)


def tiled(amounts: Sequence[float], box: Box) -> list[Box]:
    """A box for each amount, all together filling the one given. Amounts are positive, largest first.

    Rows are laid along the shorter side; one is closed as soon as a further box would make its worst one
    longer (the squarified layout of Bruls, Huizing and van Wijk, 2000).
    """
    total = sum(amounts)
    if total <= 0 or box.w <= 0 or box.h <= 0:
        return [Box(box.x, box.y, 0, 0) for _ in amounts]
    scale = box.w * box.h / total
    areas = [amount * scale for amount in amounts]
    found: list[Box] = []
    at = 0
    while at < len(areas):
        side = min(box.w, box.h)
        end = at + 1
        while end < len(areas) and _worst(areas[at : end + 1], side) <= _worst(areas[at:end], side):
            end += 1
        row, box = _row(areas[at:end], box, is_last=end == len(areas))
        found += row
        at = end
    return found


def _worst(row: Sequence[float], side: float) -> float:
    """The longest of a row's boxes: its long side over its short one."""
    if side <= 0:
        return float("inf")
    thick = sum(row) / side
    if thick <= 0:
        return float("inf")
    return max(max(thick * thick / area, area / (thick * thick)) for area in row)


def _row(row: Sequence[float], box: Box, *, is_last: bool) -> tuple[list[Box], Box]:
    """The row's boxes along the shorter side, and what is left of the box."""
    lies = box.w < box.h
    side = box.w if lies else box.h
    thick = sum(row) / side if side > 0 else 0.0
    if is_last:
        thick = box.h if lies else box.w
    boxes: list[Box] = []
    along = 0.0
    for area in row:
        long = area / sum(row) * side
        if lies:
            boxes.append(Box(box.x + along, box.y, long, thick))
        else:
            boxes.append(Box(box.x, box.y + along, thick, long))
        along += long
    rest = box.inset(0, thick, 0, 0) if lies else box.inset(thick, 0, 0, 0)
    return boxes, rest
