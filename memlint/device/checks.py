"""What the models cannot see: whether the numbers and names of a finished profile agree.

The argument of every function has passed the models; paths carry tiers, members and sources by name.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from fnmatch import fnmatchcase

from memlint.device.check_tiers import tier_mistakes
from memlint.device.errors import Mistake
from memlint.device.merge import NAMED, Table, stated_keys

_TIER_WORD = re.compile(r"[A-Za-z][A-Za-z0-9_]*")


def repeated_names(data: Table) -> Iterator[Mistake]:
    """Tiers, members and sources of one file that share a name; needs no validated data."""
    for kind, name_key in NAMED.items():
        elements = data.get(kind)
        seen: set[str] = set()
        for index, element in enumerate(elements if isinstance(elements, list) else []):
            name = element.get(name_key) if isinstance(element, dict) else None
            if not isinstance(name, str):
                continue
            if name in seen:
                yield Mistake(
                    (kind, index, name_key),
                    f'A second {kind} is called "{name}".',
                    "Rename it, or join the two.",
                )
            seen.add(name)


def agreement_mistakes(data: Table) -> Iterator[Mistake]:
    """Every contradiction inside a finished (merged) profile."""
    yield from _missing(data)
    yield from _tier_words(data)
    for tier in data.get("tier", []):
        yield from tier_mistakes(tier)
    yield from _members(data)
    yield from _patterns(data)


def _missing(data: Table) -> Iterator[Mistake]:
    if "name" not in data.get("device", {}):
        yield Mistake(("device", "name"), "The device has no name.", 'Add `name = "…"` under [device].')
    if not data.get("source"):
        yield Mistake(
            ("source",),
            "No source is named.",
            "Add a [[source]] with `id`, `title` and the `facts` it documents; your own measurement is one.",
        )
    for tier in data.get("tier", []):
        if "role" not in tier:
            yield Mistake(
                ("tier", tier["name"], "role"),
                "The tier has no role.",
                'Add `role = "fabric"`, `"block"`, `"bulk"` or `"external"`.',
            )


def _tier_words(data: Table) -> Iterator[Mistake]:
    for tier in data.get("tier", []):
        path = ("tier", tier["name"], "name")
        if tier["name"] == "registers":
            yield Mistake(
                path,
                "Every device has the tier `registers` already; its name is reserved.",
                "Give this tier another name.",
            )
        elif tier["name"] == "or" or not _TIER_WORD.fullmatch(tier["name"]):
            yield Mistake(
                path,
                f'"{tier["name"]}" is not a word that can be written after `in`.',
                "Use letters, digits and `_`, a letter first; `or` is taken.",
            )


def _members(data: Table) -> Iterator[Mistake]:
    tiers = {tier["name"]: tier for tier in data.get("tier", [])}
    for member in data.get("member", []):
        path = ("member", member["name"])
        for fact in ("blocks", "columns"):
            for name in member.get(fact, {}):
                if name not in tiers:
                    yield Mistake(
                        (*path, fact, name),
                        f"There is no tier `{name}`.",
                        f"Write one of: {', '.join(_nearest_first(name, list(tiers)))}.",
                    )
        for name, tier in tiers.items():
            blocks = member.get("blocks", {}).get(name, tier.get("blocks"))
            own = member.get("columns", {}).get(name)
            columns = own or [[column["blocks"], column["count"]] for column in tier.get("columns", [])]
            held = sum(high * many for high, many in columns)
            changed = own is not None or name in member.get("blocks", {})
            whose = "The columns" if own else "The columns of the family"
            if changed and columns and blocks is not None and held != blocks:
                yield Mistake(
                    (*path, "columns" if own else "blocks", name),
                    f"{whose} hold {held:,} blocks, but blocks is {blocks:,}.",
                    f"Correct blocks, or give this member `columns.{name}` that add up to it.",
                )


def _patterns(data: Table) -> Iterator[Mistake]:
    keys = stated_keys(data)
    for source in data.get("source", []):
        for index, pattern in enumerate(source.get("facts", [])):
            if not any(fnmatchcase(key, pattern) for key in keys):
                nearest = difflib.get_close_matches(pattern, keys, n=1, cutoff=0.5)
                meant = f"Did you mean `{nearest[0]}`? " if nearest else ""
                yield Mistake(
                    ("source", source["id"], "facts", index),
                    f'"{pattern}" matches no fact of this profile.',
                    f"{meant}Write the key of a stated fact, `*` for any part of it.",
                )


def _nearest_first(word: str, words: list[str]) -> list[str]:
    return difflib.get_close_matches(word, words, n=max(1, len(words)), cutoff=0.0)
