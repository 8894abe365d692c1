"""Tier names in memlint.toml, held against the device."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.device.facts import Device
from memlint.engine.config import place_of
from memlint.engine.settings import Settings
from memlint.rules.near import by_likeness

_ATTRIBUTE_WORDS = ("block", "logic", "rom")


def tier_mistakes(settings: Settings, device: Device) -> tuple[str, ...]:
    """A line `file:line: what is wrong. what to do.` for each tier that the device does not have."""
    return tuple(_mistakes(settings, device))


def _mistakes(settings: Settings, device: Device) -> Iterator[str]:
    tiers = [*(tier.name for tier in device.tiers), "registers"]
    for name in settings.reserve:
        if name not in tiers:
            yield _mistake(settings, ("reserve", name), name, device, tiers)
    for attribute, meaning in settings.attributes.items():
        if meaning not in (*_ATTRIBUTE_WORDS, *tiers):
            known = list(dict.fromkeys((*_ATTRIBUTE_WORDS, *tiers)))
            yield _mistake(settings, ("attributes", attribute), meaning, device, known)
    for name, meaning in settings.counts_format.tiers.items():
        if meaning not in tiers:
            yield _mistake(settings, ("reconcile", "tiers", name), meaning, device, tiers)
    for one in settings.measured:
        if one.tier not in tiers:
            yield _mistake(settings, ("measured",), one.tier, device, tiers, line=one.line)
    for box in settings.black_boxes:
        if box.tier and box.tier not in tiers:
            yield _mistake(settings, ("black_box",), box.tier, device, tiers, line=box.line)


def _mistake(
    settings: Settings, key: tuple[str, ...], name: str, device: Device, known: list[str], line: int = 0
) -> str:
    place = f"{place_of(settings)}:{line}" if line else place_of(settings, *key)
    nearest = ", ".join(by_likeness(name, known))
    return f"{place}: {'.'.join(key)}: Device {device.name} has no tier `{name}`. Write one of {nearest}."
