"""What the page's script works on: embedded JSON, the same bytes for the same design."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from memlint.engine.judgement import Judgement
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
) -> dict[str, Any]:
    """`memories` are those of `memlint list --format json`, field by field; `details` go with each."""
    texts = Texts()
    by_path = findings_by_path(findings)
    described = [details(view, judgement, by_path, texts) for view in memories]
    return {
        "memories": json.loads(list_json(judgement, memories))["memories"],
        "details": described,
        "findings": [
            {"rule": one.rule, "severity": str(one.severity), "message": one.message} for one in findings
        ],
        "colours": dict(colours),
        "texts": texts.all,
    }


def embedded(data: Mapping[str, Any]) -> Markup:
    """JSON that no text in it can break out of: nothing in it looks like a tag or a comment."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return Markup(text)
