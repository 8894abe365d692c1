"""Which known name a misspelt one may have meant."""

from __future__ import annotations

from collections.abc import Iterable

CLOSE = 0.6
"""Likeness from which a name counts as a misspelling: one wrong letter in three."""


def by_likeness(name: str, choices: Iterable[str]) -> list[str]:
    """The choices, likest first; equals keep their order."""
    return sorted(choices, key=lambda choice: -_likeness(name, choice))


def close_name(name: str, choices: Iterable[str]) -> str | None:
    """The likest choice if it is close enough to be a misspelling, else None."""
    best = next(iter(by_likeness(name, choices)), None)
    return best if best is not None and _likeness(name, best) >= CLOSE else None


def _likeness(one: str, other: str) -> float:
    # Imported here: most runs have no misspelt name and need not pay for it.
    from difflib import SequenceMatcher

    return SequenceMatcher(None, one.lower(), other.lower()).ratio()
