"""Plain tables of a profile: `extend`, members, and the keys that state a fact."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

Table = dict[str, Any]

NAMED = {"tier": "name", "member": "name", "source": "id"}
"""The arrays of tables whose elements go by a name, and the key that holds it."""


def merge(base: Table, own: Table) -> Table:
    """`own` laid over `base`: tables key by key, tiers by name, other lists replaced.

    Neither argument is changed. A value of the wrong kind replaces the base's and is left for
    validation to refuse.
    """
    merged = dict(base)
    for key, value in own.items():
        before = merged.get(key)
        if isinstance(value, dict) and isinstance(before, dict):
            merged[key] = merge(before, value)
        else:
            merged[key] = value
    if isinstance(base.get("tier"), list) and isinstance(own.get("tier"), list):
        merged["tier"] = _merge_tiers(base["tier"], own["tier"])
    return merged


def _merge_tiers(base: list[Any], own: list[Any]) -> list[Any]:
    tiers = list(base)
    for tier in own:
        same = [
            place
            for place, before in enumerate(base)
            if isinstance(tier, dict) and isinstance(before, dict) and before.get("name") == tier.get("name")
        ]
        if same:
            tiers[same[0]] = merge(base[same[0]], tier)
        else:
            tiers.append(tier)
    return tiers


def select_member(family: Table, member: Table) -> Table:
    """The family's table as it holds for one of its devices: counts and columns replaced.

    The family must have been validated. Tiers whose count the member does not give keep the family's.
    """
    blocks = member.get("blocks", {})
    columns = member.get("columns", {})
    tiers = []
    for tier in family.get("tier", []):
        changed = dict(tier)
        if tier["name"] in blocks:
            changed["blocks"] = blocks[tier["name"]]
        if tier["name"] in columns:
            changed["columns"] = [{"blocks": high, "count": many} for high, many in columns[tier["name"]]]
        tiers.append(changed)
    device = {**family.get("device", {}), "name": f"{family['device']['name']}/{member['name']}"}
    return {**family, "device": device, "tier": tiers, "member": []}


def member_facts(member: Table) -> tuple[tuple[str, str], ...]:
    """The facts a member states: the key under which the device shows each, and the member's own key."""
    return tuple(
        (f"tier.{tier}.{fact}", f"member.{member['name']}.{fact}.{tier}")
        for fact in ("blocks", "columns")
        for tier in member.get(fact, {})
    )


def stated_keys(data: Table) -> tuple[str, ...]:
    """The key of every fact stated, dotted, tiers and members under their names: `tier.bulk.blocks`.

    Lists are one fact; `source` and `extend` state none.
    """
    keys: list[str] = []
    for key, value in data.items():
        if key in ("source", "extend"):
            continue
        if key in NAMED and isinstance(value, list):
            for element in value:
                if isinstance(element, dict):
                    keys += _leaves(f"{key}.{element.get(NAMED[key])}", element)
        else:
            keys += _leaves(key, value)
    return tuple(keys)


def _leaves(prefix: str, value: Any) -> Iterator[str]:
    if not isinstance(value, dict):
        yield prefix
        return
    for key, inner in value.items():
        yield from _leaves(f"{prefix}.{key}", inner)
