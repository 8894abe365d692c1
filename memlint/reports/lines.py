"""`memlint check --format lines`: a line a finding, as editors' quickfix lists read them."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.engine.judgement import Judgement
from memlint.reports.page import Page, clean
from memlint.rules.finding import Finding


def check_lines(judgement: Judgement, findings: Sequence[Finding], page: Page) -> str:
    """`file:line:column: severity: message [rule]` for each finding, and nothing else."""
    return "".join(
        f"{page.place(one.span, judgement.sources)}: {one.severity}: {clean(one.message)} [{one.rule}]\n"
        for one in findings
    )
