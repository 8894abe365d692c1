"""Synthesis attributes that say what an array is to be built from."""

from __future__ import annotations

from memlint.design.body import Body, Signal
from memlint.design.values import Int, Text
from memlint.reading.facts.expressions import Expr, String
from memlint.reading.facts.items import Parameter
from memlint.text.source import Span

# IEEE Std 1364.1-2002 (6.1) and IEEE Std 1076.6-2004.
STANDARD = {"ram_block": "block", "rom_block": "block", "logic_block": "logic"}


def storage_attribute(body: Body, signal: Signal, extra: dict[str, str]) -> tuple[str | None, Span | None]:
    """What an attribute on the declaration asks for, and where it stands: `block`, `logic`, or a tier.

    `extra` maps further attribute names to what their presence (or, as `name=value`, a value) means.
    """
    item = signal.item
    for attribute in item.attributes if not isinstance(item, Parameter) else ():
        meaning = _meaning(attribute.name, attribute.value, extra, signal)
        if meaning is not None:
            return meaning, attribute.span
    for spec, scope in body.attribute_specs:
        # It stands in the declarative part that declares what it names (IEEE Std 1076-2008, 7.2).
        if spec.target == item.name and scope is signal.scope:
            meaning = _meaning(spec.name, spec.value, extra, signal)
            if meaning is not None:
                return meaning, spec.span
    return None, None


def _meaning(name: str, value: Expr | None, extra: dict[str, str], signal: Signal) -> str | None:
    shown = _text(value, signal)
    if shown is False:
        return None
    lowered = name.lower()
    if lowered in STANDARD:
        return STANDARD[lowered]
    if isinstance(shown, str) and f"{name}={shown}" in extra:
        return extra[f"{name}={shown}"]
    return extra.get(name)


def _text(value: Expr | None, signal: Signal) -> str | bool:
    """An attribute's value: a text, True for set, False for switched off (`false`, 0)."""
    if value is None:
        return True
    if isinstance(value, String):
        return value.value
    found = signal.scope.evaluate(value)
    if isinstance(found, Int):
        return found.value != 0
    if isinstance(found, Text):
        return found.value
    return True
