"""Which document a fact comes from."""

from __future__ import annotations

from fnmatch import fnmatchcase

from memlint.device.facts import Device, Source


def sources_of(device: Device, key: str) -> tuple[Source, ...]:
    """The sources whose patterns name the fact `key` (such as `tier.block.modes.single.shapes`).

    A count that a family member states is looked up under the member's own key. A fact has no source when
    an extending profile changed it without naming one, and when the profile does not state it at all.
    """
    stated = dict(device.stated_as).get(key)
    if not stated:
        return ()
    return tuple(
        source for source in device.sources if any(fnmatchcase(stated, pattern) for pattern in source.facts)
    )
