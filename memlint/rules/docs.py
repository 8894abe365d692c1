"""A rule's documentation, read from its docstring.

The docstring's first line says what the rule finds. Then come headings at the left margin:
`Why it costs:` (prose), `Example:` and `Mended:` (an indented SystemVerilog sample each; the example
raises exactly this rule on the demo device, the mended one raises none) and, where the rule has
thresholds, `Settings:` with a line `name = default: meaning` each.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from inspect import cleandoc
from textwrap import dedent

from memlint.rules.base import Rule

_HEADING = re.compile(r"^(Why it costs|Example|Mended|Settings):[ ]*", re.MULTILINE)
_SETTING = re.compile(r"^(\w+) = (\S+): ", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class SettingDocumentation:
    """One threshold: its name, its default as written, what it means and why it is what it is."""

    name: str
    default: str
    text: str


@dataclass(frozen=True, slots=True)
class RuleDocumentation:
    """What `memlint explain RULE` and the manual print."""

    summary: str
    why: str
    example: str
    mended: str
    settings: tuple[SettingDocumentation, ...]


def documentation(rule: Rule) -> RuleDocumentation:
    """The parts of a rule's docstring.

    Raises ValueError naming the rule and the heading when one is missing or empty.
    """
    text = cleandoc(rule.__doc__ or "")
    pieces = _HEADING.split(text)
    summary = pieces[0].strip()
    parts = dict(zip(pieces[1::2], pieces[2::2], strict=True))
    for heading in ("Why it costs", "Example", "Mended"):
        if not parts.get(heading, "").strip():
            raise ValueError(f"rule {rule.name}: its docstring has no `{heading}:` part; add one")
    if not summary or "\n" in summary:
        raise ValueError(f"rule {rule.name}: its docstring must open with one line of summary")
    return RuleDocumentation(
        summary=summary,
        why=_prose(parts["Why it costs"]),
        example=_sample(parts["Example"]),
        mended=_sample(parts["Mended"]),
        settings=_settings(parts.get("Settings", "")),
    )


def _prose(text: str) -> str:
    """Paragraphs, each on one line, an empty line between them."""
    paragraphs = re.split(r"\n\s*\n", text.strip())
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in paragraphs)


def _sample(text: str) -> str:
    return dedent(text.strip("\n")).rstrip() + "\n"


def _settings(text: str) -> tuple[SettingDocumentation, ...]:
    pieces = _SETTING.split(dedent(text.strip("\n")))
    return tuple(
        SettingDocumentation(name, default, " ".join(body.split()))
        for name, default, body in zip(pieces[1::3], pieces[2::3], pieces[3::3], strict=True)
    )
