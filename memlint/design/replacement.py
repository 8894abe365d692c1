"""Replacing elements, slices and fields of values."""

from __future__ import annotations

from dataclasses import replace

from memlint.design.selection import (
    At,
    FieldOf,
    Part,
    Step,
    locate,
    misfit,
    outside,
    places,
    select,
    select_bits,
)
from memlint.design.types import Range, between
from memlint.design.values import ArrayValue, Int, StructValue, Text, Unknown, Value, vector


def update(value: Value, steps: tuple[Step, ...], new: Value) -> Value:
    """`value` with what `steps` select replaced by `new`, which already has the right type."""
    if not steps or isinstance(value, Unknown):
        return value if steps else new
    step, rest = steps[0], steps[1:]
    match value:
        case Int():
            return _update_bits(value, step, rest, new)
        case ArrayValue(items=items, range=span):
            if isinstance(step, At):
                place = span.offset(step.index)
                if place is None:
                    return outside(step.index, span)
                changed = list(items)
                changed[place] = update(items[place], rest, new)
                return replace(value, items=tuple(changed))
            if isinstance(step, Part):
                return _update_part(value, step, rest, new)
        case StructValue(fields=fields) if isinstance(step, FieldOf):
            return replace(
                value,
                fields=tuple(
                    (key, update(old, rest, new) if key == step.name else old) for key, old in fields
                ),
            )
        case Text(value=text):
            return _update_text(text, step, new)
        case _:
            pass
    return Unknown(misfit(step))


def _update_part(value: ArrayValue, step: Part, rest: tuple[Step, ...], new: Value) -> Value:
    covered = places(value.range, step.range)
    if isinstance(covered, Unknown):
        return covered
    changed = update(select(value, step), rest, new)
    if not isinstance(changed, ArrayValue) or len(changed.items) != covered[1] - covered[0]:
        return (
            changed if isinstance(changed, Unknown) else Unknown("a slice is given a value of another size")
        )
    items = (*value.items[: covered[0]], *changed.items, *value.items[covered[1] :])
    return replace(value, items=items)


def _update_text(text: str, step: Step, new: Value) -> Value:
    span = Range(1, len(text), False)
    part = between(step.index, step.index) if isinstance(step, At) else None
    if isinstance(step, Part):
        part = step.range
    if part is None or not isinstance(new, Text):
        return new if isinstance(new, Unknown) else Unknown(misfit(step))
    covered = places(span, part)
    return (
        covered if isinstance(covered, Unknown) else Text(text[: covered[0]] + new.value + text[covered[1] :])
    )


def _update_bits(value: Int, step: Step, rest: tuple[Step, ...], new: Value) -> Value:
    place = locate(value, step)
    if isinstance(place, Unknown):
        return place
    if rest:
        new = update(select_bits(value, step), rest, new)
    if not isinstance(new, Int):
        return new if isinstance(new, Unknown) else Unknown("bits are given a value that is no number")
    mask = ((1 << place.width) - 1) << place.shift
    pattern = (value.pattern & ~mask) | ((new.value << place.shift) & mask)
    assert value.width is not None
    return vector(pattern, value.width, value.signed, value.type)
