"""What the page's script works on: embedded JSON, the same bytes for the same design."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from memlint.engine.differences.changes import Comparison, MemoryChange
from memlint.engine.judgement import Judgement
from memlint.reports import compare_words as words
from memlint.reports.html.changes import since_words
from memlint.reports.html.details import Texts, details, findings_by_path
from memlint.reports.html.markup import Markup
from memlint.reports.json_output import list_json
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView


def page_data(
    judgement: Judgement,
    memories: Sequence[MemoryView],
    findings: Sequence[Finding],
    colours: Mapping[str, str],
    comparison: Comparison | None,
    links: str,
) -> dict[str, Any]:
    """`memories` are those of `memlint list --format json`, field by field; `details` go with each."""
    texts = Texts()
    by_path = findings_by_path(findings)
    described = [details(view, judgement, by_path, texts) for view in memories]
    changed = {one.path: one for one in comparison.memories if one.new} if comparison else {}
    for view, one in zip(memories, described, strict=True):
        if (change := changed.get(view.memory.path)) is not None:
            one["changed"] = [[texts.at(what), texts.at(text)] for what, text in _changed(change)]
    return {
        "memories": json.loads(list_json(judgement, memories))["memories"],
        "details": described,
        "findings": [
            {"rule": one.rule, "severity": str(one.severity), "message": one.message} for one in findings
        ],
        "colours": dict(colours),
        "texts": texts.all,
        **({"links": links} if links else {}),
        **({"since": since_words(comparison)} if comparison else {}),
    }


def _changed(one: MemoryChange) -> list[tuple[str, str]]:
    """What changed about a memory, each with before and after."""
    if one.old is None:
        return [("memory", "added")]
    moved = [("path", f"{one.old.memory.path} → {one.path}")] if one.kind == "moved" else []
    return [*moved, *words.steps(one), ("blocks", words.blocks(one))]


def embedded(data: Mapping[str, Any]) -> Markup:
    """JSON that no text in it can break out of: nothing in it looks like a tag or a comment."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return Markup(text)
