"""A plan written into the sources: `in` clauses in intent comments, and nothing else changed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import unified_diff

from memlint.design.design import Design
from memlint.design.memory import Memory
from memlint.engine.files import VHDL
from memlint.engine.fixing import apply_edits
from memlint.engine.judgement import Judgement
from memlint.engine.plan_seats import seated, seats_of
from memlint.engine.planning import Assigned, DevicePlan
from memlint.reading.intent.clauses import In, Intent
from memlint.rules.finding import Edit
from memlint.rules.totals import below
from memlint.rules.view import MemoryView
from memlint.rules.wording import listed
from memlint.text.source import SourceText, Span

_ATTRIBUTES = re.compile(r"(?:\(\*.*?\*\)\s*)+")
"""Attributes may stand between a comment and the declaration it speaks for."""


@dataclass(frozen=True, slots=True)
class Patch:
    """New texts by file; the memories whose tier they now name, each with the file that does; those left
    out, each with the reason."""

    texts: Mapping[str, str]
    written: Mapping[str, str]
    refused: tuple[tuple[str, str], ...]


def patch_of(plan: DevicePlan, judgement: Judgement, design: Design) -> Patch:
    """The comments that make the design say what the plan decided. `design` is what was judged.

    A comment may speak for many memories: it is written only where all of them go to one tier. Where those
    of a declaration do not, each instance names its own.
    """
    decided = {one.view.memory.path: one for one in plan.memories}
    spoken: dict[Span, list[MemoryView]] = {}
    refused: list[tuple[str, str]] = []
    for view in judgement.memories:
        if not below(view.memory.path, plan.root):
            continue
        place = _place(view, judgement.sources)
        if isinstance(place, Span):
            spoken.setdefault(place, []).append(view)
        elif _is_free(decided.get(view.memory.path)):
            refused.append((view.memory.path, place))
    edits: dict[str, list[Edit]] = {}
    written: dict[str, str] = {}
    seats = seats_of(design)
    tier_of = {path: one.choice.tier for path, one in decided.items()}
    for place, views in spoken.items():
        free = [view for view in views if _is_free(decided.get(view.memory.path))]
        if not free:
            continue
        tiers = {tier_of.get(view.memory.path) for view in views}
        if len(tiers) == 1:
            edit = _edit(free[0], place, tier_of[free[0].memory.path], judgement.sources)
            edits.setdefault(edit.span.file, []).append(edit)
            written |= {view.memory.path: edit.span.file for view in free}
            continue
        named = listed(sorted(tier or "one that is not known" for tier in tiers))
        why = f"what is declared here goes to {named}, and no comment on an instance can tell them apart"
        at_instances, left = seated(views, tier_of, seats)
        refused += [(view.memory.path, why) for view in left if _is_free(decided.get(view.memory.path))]
        for one in at_instances:
            mine = [view for view in one.views if _is_free(decided.get(view.memory.path))]
            at = _line_above(one.seat.name, one.seat.statement, judgement.sources) if mine else ""
            if isinstance(at, Span):
                tier = tier_of[mine[0].memory.path]
                text = _comment(f"on {one.on}: in {tier}", at, one.seat.statement, judgement.sources)
                edits.setdefault(at.file, []).append(Edit(at, text))
                written |= {view.memory.path: at.file for view in mine}
            else:
                refused += [(view.memory.path, f"{why}: {at}") for view in mine]
    texts = {file: apply_edits(judgement.sources[file].text, found) for file, found in edits.items()}
    return Patch(texts, dict(sorted(written.items())), tuple(sorted(refused)))


def diff_of(patch: Patch, sources: Mapping[str, SourceText]) -> str:
    """The patch as a unified diff, file by file, as `patch -p1` takes it."""
    lines: list[str] = []
    for file in sorted(patch.texts):
        before, after = sources[file].text, patch.texts[file]
        for line in unified_diff(
            before.splitlines(keepends=True), after.splitlines(keepends=True), f"a/{file}", f"b/{file}"
        ):
            lines.append(line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n")
    return "".join(lines)


def misread(patch: Patch, plan: DevicePlan, after: Judgement) -> tuple[str, ...]:
    """Memories of the patch that a judgement of the new texts does not find where the plan keeps them."""
    wanted = {one.view.memory.path: one.choice.tier for one in plan.memories}
    found = {view.memory.path: view for view in after.memories}
    return tuple(
        path
        for path in patch.written
        if path not in found
        or (tier := found[path].tier) is None
        or tier.name != wanted[path]
        or found[path].tier_from != "intent"
    )


def without_misread(patch: Patch, paths: Iterable[str]) -> Patch:
    """The patch without the files that name the tiers of these memories."""
    files = {patch.written[path] for path in paths}
    spoilt = [path for path, file in patch.written.items() if file in files]
    why = "a comment put here would be read otherwise; write it by hand"
    return Patch(
        {file: text for file, text in patch.texts.items() if file not in files},
        {path: file for path, file in patch.written.items() if path not in spoilt},
        tuple(sorted([*patch.refused, *((path, why) for path in spoilt)])),
    )


def _is_free(one: Assigned | None) -> bool:
    return one is not None and not one.fixed


def _place(view: MemoryView, sources: Mapping[str, SourceText]) -> Span | str:
    """Where the `in` clause of a memory stands or would stand, or why it cannot be written."""
    bound = view.bound(In)
    if bound is not None:
        span = view.clause(In).span  # type: ignore[union-attr]
        if bound.bound.level == 0:
            return "its tiers are named in an [[intent]] of the project file: name one there"
        return span if span.file in sources else "the file that names its tiers is not among the sources"
    memory = view.memory
    intent = _own_intent(memory)
    if intent is not None:
        last = max((clause.span for clause in intent.clauses), key=lambda span: span.end)
        return Span(last.file, last.end, last.end)
    return _line_above(memory.name.partition(".")[0], memory.statement, sources)


def _own_intent(memory: Memory) -> Intent | None:
    """The intent at the declaration: of several the first."""
    own = [bound for bound in memory.intents if memory.planned or bound.origin == "declaration"]
    return next((bound.intent for bound in own if bound.intent.clauses), None)


def _line_above(name: str, statement: Span, sources: Mapping[str, SourceText]) -> Span | str:
    """The start of the line where the statement that declares a name begins."""
    source = sources.get(statement.file)
    if source is None or name.lower() not in _text(source, statement).lower():
        return "its declaration comes from a macro or a file that is not among the sources"
    start = source.text.rfind("\n", 0, statement.start) + 1
    before = source.text[start : statement.start].strip()
    if before and not _ATTRIBUTES.fullmatch(before):
        return "its declaration shares a line with other code"
    return Span(source.file, start, start)


def _text(source: SourceText, span: Span) -> str:
    return source.text[span.start : span.end]


def _edit(view: MemoryView, place: Span, tier: str, sources: Mapping[str, SourceText]) -> Edit:
    if view.bound(In) is not None:
        return Edit(place, f"in {tier}")
    if _own_intent(view.memory) is not None:
        return Edit(place, f"; in {tier}")
    return Edit(place, _comment(f"in {tier}", place, view.memory.statement, sources))


def _comment(clauses: str, place: Span, statement: Span, sources: Mapping[str, SourceText]) -> str:
    """A line of its own before a statement, indented like it."""
    source = sources[place.file]
    before = source.text[place.start : statement.start]
    indent = before[: len(before) - len(before.lstrip())]
    opener = "--@mem" if place.file.endswith(VHDL) else "// @mem"
    end = "\r\n" if "\r\n" in source.text[place.start :][:400] else "\n"
    return f"{indent}{opener} {clauses}{end}"


def encoded_like(text: str, raw: bytes, before: str) -> bytes | None:
    """The new text in the encoding of the file it came from; None where that cannot be told for certain."""
    for encoding in ("utf-8", "utf-8-sig", "latin-1"):
        try:
            if before.encode(encoding) == raw:
                return text.encode(encoding)
        except UnicodeEncodeError:
            continue
    return None
