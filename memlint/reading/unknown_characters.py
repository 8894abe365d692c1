"""Characters that a language does not have outside comments and strings: what stands there is not read."""

from __future__ import annotations

import re
import unicodedata

from memlint.reading.facts.items import Problem
from memlint.text.source import SourceText, Span

_BEFORE = re.compile(r"[\w$]*\Z")
_AFTER = re.compile(r"[\w$]*")
_LONGEST = 100
_REMEDIES = {
    "SystemVerilog": "identifiers are of ASCII letters, digits, `_` and `$` (IEEE Std 1800-2017, 5.6): "
    "write it with these, or escaped, as `\\name ` with a space behind it",
    "VHDL": "identifiers are of Latin-1 letters, digits and `_` (IEEE Std 1076-2008, 15.4): write it with "
    "these, or between backslashes",
}


def unknown_character(source: SourceText, start: int, end: int, language: str) -> Problem:
    """What to say of text from `start` to `end` that is no token of the language.

    The word that it is part of is named, where it is part of one.
    """
    text = source.text
    before = _BEFORE.search(text[max(0, start - _LONGEST) : start])
    after = _AFTER.match(text, end, end + _LONGEST)
    first = start - (len(before[0]) if before is not None else 0)
    last = after.end() if after is not None else end
    char = text[start]
    called = unicodedata.name(char, "").lower()
    shown = f"`{char}` (U+{ord(char):04X}{f', {called}' if called else ''})"
    if not char.isprintable():
        shown = f"the character U+{ord(char):04X}"
    within = f" in `{text[first:last]}`" if last - first > end - start and char.isprintable() else ""
    return Problem(
        "source-not-read",
        f"{shown}{within} is no part of {language} code: the declaration or statement around it is not read",
        Span(source.file, first, last),
        (_REMEDIES[language], "in a comment or a string it is fine"),
        hides=True,
    )
