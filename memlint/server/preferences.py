"""What a user may switch in the editor: everything that shows something, and nothing that judges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

SECTION = "memlint"

KINDS = ("blocks", "chain", "fill")
"""The kinds of inlay hints."""


@dataclass(frozen=True, slots=True)
class Preferences:
    """`hints` are the kinds to show, `lenses` whether code lenses are shown, `whole_project` whether
    findings of files that are not open are told as well."""

    hints: frozenset[str] = frozenset(KINDS)
    lenses: bool = True
    whole_project: bool = False


def preferences_of(settings: object) -> Preferences:
    """The settings of section `memlint`; whatever is missing, null or of another type has its default.

    `{"hints": {"blocks": true, "chain": true, "fill": true}, "codeLens": true,
    "findings": {"wholeProject": false}}`
    """
    default = Preferences()
    hints = _get(settings, "hints")
    shown = {kind for kind in KINDS if _switch(_get(hints, kind), hints is not False)}
    return Preferences(
        frozenset(shown),
        _switch(_get(settings, "codeLens"), default.lenses),
        _switch(_get(_get(settings, "findings"), "wholeProject"), default.whole_project),
    )


def section_of(settings: object) -> object:
    """The settings of section `memlint` in what an editor pushes: some push the section itself.

    None where it pushes nothing, which says that it wants to be asked.
    """
    inner = _get(settings, SECTION)
    if inner is not None:
        return inner
    is_section = any(_get(settings, key) is not None for key in ("hints", "codeLens", "findings"))
    return settings if is_section else None


def _get(value: object, key: str) -> Any:
    return value.get(key) if isinstance(value, dict) else getattr(value, key, None)


def _switch(value: object, default: bool) -> bool:
    return value if isinstance(value, bool) else default
