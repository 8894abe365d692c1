"""All safe fixes of one file, as edits that never overlap."""

from __future__ import annotations

from memlint.engine.fixing import fix_all
from memlint.rules.finding import Edit
from memlint.server.asking import Seen
from memlint.server.intent_edits import line_edits
from memlint.server.project import Project
from memlint.text.source import SourceText


def all_fixes(seen: Seen, project: Project) -> tuple[Edit, ...]:
    """The edits of all safe fixes that stay in the document. Each was tried: one that would bring another
    finding is left out."""
    file = seen.source.file
    with project.bench.changed(seen.document.uri) as judge:
        fixed = fix_all(
            seen.judgement,
            lambda texts: judge(dict(texts)),
            lambda finding: (
                finding.span.file == file
                and all(edit.span.file == file for fix in finding.fixes[:1] for edit in fix.edits)
            ),
        )
    text = fixed.texts.get(file)
    if text is None:
        return ()
    return line_edits(seen.judgement.sources.get(file) or SourceText(file, ""), text)
