"""Findings that may only be there because some source is not: they must not fail a commit.

A checkout without a submodule, or before its generated sources are made, is no fault of the commit.
"""

from __future__ import annotations

from memlint.engine.judgement import Judgement
from memlint.rules.base import rule_named
from memlint.rules.finding import Finding

_OF_THE_COMMENT = frozenset(("intent-syntax", "intent-repeats-clause", "unknown-tier"))
"""What the text of an intent alone decides."""

_OF_CONNECTIONS = frozenset(("clock-drift", "port-drift", "intent-unattached", "acceptance-unused"))
"""With the `clocks` family, what depends on where a net comes from or a word goes."""


_NO_PACKAGE = "not among the sources"
"""How the design says that a package is missing, within the reason why something is unknown."""


def may_be_of_missing_source(finding: Finding, judgement: Judgement, files_missing: bool) -> bool:
    """Whether the finding could be gone once the source that is missing is there.

    While files, included files or packages are missing, macros, types and parameters are, so everything
    could that is not decided by the comment alone. While units are missing, it is what depends on
    connections, at or below where they are instantiated. What was not read always could.
    """
    if finding.rule in _OF_THE_COMMENT:
        return False
    rule = rule_named(finding.rule)
    family = rule.family if rule is not None else ""
    if family == "reading" or files_missing or _lacks_text(judgement):
        return True
    if family != "clocks" and finding.rule not in _OF_CONNECTIONS:
        return False
    around = {path.rpartition(".")[0] + "." for unit in judgement.missing for path in unit.instances}
    return any(path.startswith(one) for path in finding.paths for one in around)


def _lacks_text(judgement: Judgement) -> bool:
    """Whether an included file or a package was not found."""
    return bool(judgement.missing_includes) or any(_NO_PACKAGE in one.message for one in judgement.findings)
