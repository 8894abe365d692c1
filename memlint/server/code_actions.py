"""What can be done about a place: fixes, acceptances, intents, other tiers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from lsprotocol import types

from memlint.engine.judgement import Judgement
from memlint.mapping.demand import Placement
from memlint.rules import wording
from memlint.rules.base import rule_named
from memlint.rules.finding import Edit, Finding
from memlint.rules.view import MemoryView
from memlint.server.asking import Seen
from memlint.server.hover import memories_at
from memlint.server.intent_edits import drafted, moved, with_clause
from memlint.text.source import Span

FIX_ALL = "source.fixAll.memlint"
REASON = "say why this is wanted"
"""What stands where the reason of an acceptance is to be written."""

KINDS = (
    types.CodeActionKind.QuickFix.value,
    types.CodeActionKind.RefactorRewrite.value,
    FIX_ALL,
)
_MOST_TIERS = 4
_NOT_ACCEPTED = frozenset(("acceptance-unused",))


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that can be done. `key` names it among all of a file's; `edits` are made when it is wanted
    and may be none. `finding` is what it mends. `asks` is a text among the edits for the user to replace.
    """

    key: tuple[str, ...]
    title: str
    kind: str
    edits: Callable[[], tuple[Edit, ...]]
    finding: Finding | None = None
    preferred: bool = False
    asks: str = ""


def offers(seen: Seen, start: int, end: int) -> Iterator[Offer]:
    """All offers for a range of a document, in the order in which they are to be shown."""
    judgement, file = seen.judgement, seen.source.file
    here = [
        one for one in judgement.findings if any(_touches(span, file, start, end) for span in _places(one))
    ]
    for finding in here:
        yield from _fixes(finding)
    for finding in here:
        yield from _acceptance(finding, judgement)
    found = memories_at(judgement, file, start)
    if found is not None:
        yield from _of_memory(found[0], judgement)


def has_safe_fixes(seen: Seen) -> bool:
    """Whether `fix all` may find something to do."""
    return any(
        fix.safe
        for finding in seen.judgement.findings
        if finding.span.file == seen.source.file
        for fix in finding.fixes[:1]
    )


def _places(finding: Finding) -> Iterator[Span]:
    """Where a finding may be mended from: its own place, and the text that a fix would change."""
    yield finding.span
    for fix in finding.fixes:
        yield from (edit.span for edit in fix.edits if edit.span.end > edit.span.start)


def _touches(span: Span, file: str, start: int, end: int) -> bool:
    return span.file == file and span.start <= end and start <= span.end


def _fixes(finding: Finding) -> Iterator[Offer]:
    for index, fix in enumerate(finding.fixes):
        edits = fix.edits
        yield Offer(
            ("fix", finding.rule, str(finding.span.start), str(finding.span.end), fix.title),
            _sentence(fix.title),
            types.CodeActionKind.QuickFix.value,
            lambda edits=edits: without_overlaps(edits),  # type: ignore[misc]
            finding,
            preferred=fix.safe and index == 0 and len(finding.fixes) == 1,
        )


def _acceptance(finding: Finding, judgement: Judgement) -> Iterator[Offer]:
    """An offer only where the acceptance would silence the finding: it is about memories alone."""
    rule = rule_named(finding.rule)
    if rule is None or finding.rule in _NOT_ACCEPTED or not finding.paths:
        return
    views = [view for view in judgement.memories if view.memory.path in finding.paths]
    if not views or len(views) != len(finding.paths):
        return
    clause = f'accept {finding.rule} because "{REASON}"'
    if not with_clause(views, clause, judgement.sources):
        return
    yield Offer(
        ("accept", finding.rule, str(finding.span.start), str(finding.span.end)),
        f"Accept this `{finding.rule}`, with a reason".replace("`", ""),
        types.CodeActionKind.QuickFix.value,
        lambda: with_clause(views, clause, judgement.sources),
        finding,
        asks=REASON,
    )


def _of_memory(views: Sequence[MemoryView], judgement: Judgement) -> Iterator[Offer]:
    view, sources = views[0], judgement.sources
    name = view.memory.name
    if not any(one.has_intent for one in views) and drafted(views, sources):
        yield Offer(
            ("intent", str(view.memory.span.start)),
            f"Write an intent for {name} that says what it is now",
            types.CodeActionKind.RefactorRewrite.value,
            lambda: drafted(views, sources),
        )
    for placement, verb in _homes(view):
        tier = placement.tier
        if not moved(views, tier, sources):
            return
        cost = wording.placed_on(placement).partition(": ")[2]
        each = " each" if len(views) > 1 else ""
        yield Offer(
            ("move", str(view.memory.span.start), tier),
            f"{verb.format(name)} {tier}: {cost}{each}",
            types.CodeActionKind.RefactorRewrite.value,
            lambda tier=tier: moved(views, tier, sources),  # type: ignore[misc]
        )


def _homes(view: MemoryView) -> Iterator[tuple[Placement, str]]:
    """Where it may go, and how that is said: where it is already, if an intent does not say so (or names a
    tier that is none), then elsewhere."""
    own = view.placement
    if own is not None and own.fits and view.has_intent and view.tier_from != "intent":
        yield own, "State that {} is in"
    for placement in view.elsewhere[:_MOST_TIERS]:
        yield placement, "Move {} to"


def without_overlaps(edits: Sequence[Edit]) -> tuple[Edit, ...]:
    """The edits, or none at all if two of them change the same text: an editor may refuse such a set."""
    ordered = sorted(set(edits), key=lambda one: (one.span.file, one.span.start, one.span.end))
    for first, second in pairwise(ordered):
        if first.span.file == second.span.file and second.span.start < first.span.end:
            return ()
    return tuple(ordered)


def _sentence(title: str) -> str:
    title = title.replace("`", "")
    return title[:1].upper() + title[1:]


def snippet_of(text: str, asks: str) -> str:
    """A text as a snippet in which `asks` is to be replaced (LSP 3.17, "Snippet Syntax")."""
    before, found, after = text.partition(asks)
    if not found:
        return _escaped(text)
    return f"{_escaped(before)}${{1:{_escaped(asks)}}}{_escaped(after)}"


def _escaped(text: str) -> str:
    return re.sub(r"([\\$}])", r"\\\1", text)
