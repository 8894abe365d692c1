"""What hovering over a memory shows: what it is, what it takes, how that was reckoned, who decided."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from memlint.design.memory import BoundClause, Clock
from memlint.engine.judgement import Judgement
from memlint.mapping.demand import Cut, Placement
from memlint.reading.intent.clauses import In
from memlint.rules import wording
from memlint.rules.placed import why_no_tier
from memlint.rules.view import MemoryView
from memlint.server.hints import OUTSIDE, one_memory
from memlint.text.source import SourceText, Span

_MOST_CUTS = 6
_MOST_INSTANCES = 8
_MOST_ELSEWHERE = 4
_MARKS = re.compile(
    r"[\\*\[\]<`~]"
    r"|(?<![^\W_])_|_(?![^\W_])"  # Between letters and digits a `_` is no mark.
    r"|&(?=#?\w+;)"
)
_OPENER = re.compile(r"\A(\s*)(?=[#>+-])|\A(\s*\d+)(?=[.)](?:\s|\Z))")
"""Headings, quotes and lists begin where a line does; numbers open a list by the sign behind them."""


@dataclass(frozen=True, slots=True)
class HoverText:
    """A title, then sections of a heading and its lines; `span` is what the hover is about."""

    title: str
    sections: tuple[tuple[str, tuple[str, ...]], ...]
    span: Span

    def plain(self) -> str:
        """The text for editors without markup: headings on their own lines, what they say indented."""
        parts = [self.title]
        for heading, lines in self.sections:
            parts.append("\n".join([heading, *(f"  {line}" for line in lines)]))
        return "\n\n".join(parts).replace("`", "")

    def markdown(self) -> str:
        """The same in CommonMark. Nothing of a source text is taken for markup, but for `…`."""
        parts = [f"**{_escaped(self.title)}**"]
        for heading, lines in self.sections:
            parts.append("\n".join([f"{heading}:", "", *(f"- {_escaped(line)}" for line in lines)]))
        return "\n\n".join(parts)


def _escaped(text: str) -> str:
    """Backslashes before what CommonMark 0.31.2, section 2.4, lets one escape; code in `…` stays as it is.

    Only where it would be a mark: some editors show the backslashes.
    """
    parts = text.split("`")
    if len(parts) % 2 == 0:
        parts = [text]
    parts[::2] = [_MARKS.sub(r"\\\g<0>", part) for part in parts[::2]]
    parts[0] = _OPENER.sub(r"\1\2\\", parts[0])
    return "`".join(parts)


def memories_at(judgement: Judgement, file: str, offset: int) -> tuple[tuple[MemoryView, ...], Span] | None:
    """The instances of the declaration that is meant at a place of a file, and the text that means it.

    A memory is meant by its name, by a place where it is read or written, by the rest of its
    declaration, and by an intent that speaks for it: the first of these that is there.
    """

    def covers(span: Span) -> bool:
        return span.file == file and span.start <= offset <= span.end

    def named(view: MemoryView) -> Span | None:
        return view.memory.span if covers(view.memory.span) else None

    def accessed(view: MemoryView) -> Span | None:
        accesses = (access for port in view.memory.ports for access in port.accesses)
        return next((access.span for access in accesses if covers(access.span)), None)

    def declared(view: MemoryView) -> Span | None:
        return view.memory.statement if covers(view.memory.statement) else None

    def intended(view: MemoryView) -> Span | None:
        spans = (bound.intent.span for bound in view.memory.intents)
        return next((span for span in spans if covers(span)), None)

    for meant in (named, accessed, declared, intended):
        every = (*judgement.memories, *judgement.outside)
        found = [(view, span) for view in every if (span := meant(view)) is not None]
        if found:
            declaration = found[0][0].memory.span
            return tuple(view for view, _ in found if view.memory.span == declaration), found[0][1]
    return None


def hover_text(
    views: Sequence[MemoryView], span: Span, judgement: Judgement, shape: Sequence[str] = (), aside: str = ""
) -> HoverText:
    """All about the first of the instances of one declaration, and in short about the others. `shape` says
    where its dimensions come from, `aside` what else is to be known of the file."""
    view = views[0]
    sections = [(heading, tuple(lines)) for heading, lines in _sections(view, judgement, shape) if lines]
    if view in judgement.outside:
        aside = OUTSIDE
    if aside:
        sections.append(("Seen", (aside,)))
    others = [_other(one) for one in views[1 : _MOST_INSTANCES + 1]]
    if others:
        if len(views) - 1 > len(others):
            others.append(f"and {len(views) - 1 - len(others)} more")
        sections.append((f"Other instances ({len(views) - 1})", tuple(others)))
    return HoverText(f"{view.memory.name}: {one_memory(view)}", tuple(sections), span)


def _other(view: MemoryView) -> str:
    memory = view.memory
    known = memory.depth is not None and memory.width is not None
    size = f"{wording.shape(memory.depth or 0, memory.width or 0)}: " if known else ""
    return f"`{memory.path}`: {size}{one_memory(view)}"


def _sections(
    view: MemoryView, judgement: Judgement, shape: Sequence[str]
) -> Iterator[tuple[str, list[str]]]:
    yield "Memory", list(_memory(view))
    yield "Shape from", list(shape)
    yield "Tier", list(_tier(view, judgement.sources))
    if view.placement is not None:
        yield "Reckoned", [*(one.text for one in view.placement.obstacles), *view.placement.because]
        yield "Cut", list(_cuts(view.placement))
    if view.demand is not None:
        yield "Elsewhere", wording.homes(view, _MOST_ELSEWHERE)
    yield "Intent", list(_intent(view, judgement.sources))
    yield "Notes", [_placed(note.text, note.span, judgement.sources) for note in view.memory.notes]


def _memory(view: MemoryView) -> Iterator[str]:
    memory = view.memory
    yield f"`{memory.path}`"
    if memory.depth is None or memory.width is None or memory.bits is None:
        yield f"shape unknown: {memory.unresolved or 'the reason is not known'}"
    else:
        banks = f" in {memory.banks:,} banks" if memory.banks > 1 else ""
        yield f"{wording.shape(memory.depth, memory.width)}{banks}, {wording.bits(memory.bits)}"
    lanes = f", write lanes of {wording.listed(map(str, memory.lanes))} bits" if memory.lanes else ""
    yield f"ports {wording.memory_ports(memory)}{lanes}"
    clocks = [_clock(clock) for clock in memory.clocks]
    if not memory.clocks_known:
        clocks.append("one that could not be traced")
    if clocks:
        yield f"{'clock' if len(clocks) == 1 else 'clocks'} {wording.listed(clocks)}"
    yield {None: "read style unknown", "none": "never read"}.get(memory.read, f"{memory.read} read")
    if memory.contents != "none":
        yield "initial contents " + ("all zero" if memory.contents == "zero" else "given")


def _clock(clock: Clock) -> str:
    edge = "" if clock.edge == "rising" else f" ({clock.edge} edge)"
    gated = f" gated from `{clock.root}`" if clock.root else ""
    return f"`{clock.net}`{edge}{gated}"


def _tier(view: MemoryView, sources: Mapping[str, SourceText]) -> Iterator[str]:
    if view.tier is None:
        yield f"unknown: {why_no_tier(view)}"
        return
    match view.tier_from:
        case "intent":
            bound = view.bound(In)
            yield f"`{view.tier.name}`" + (f" from {_origin(bound, sources)}" if bound else "")
        case "attribute":
            span = view.memory.attribute_span
            yield _placed(f"`{view.tier.name}` from an attribute", span, sources)
        case _:
            yield f"`{view.tier.name}`, assumed: neither an intent nor an attribute names a tier"
    placement = view.placement
    if placement is None:
        return
    if placement.blocks is not None:
        taken = wording.placed_on(placement)
        yield taken if placement.fits else f"would be {taken}, if the tier took it"
        yield from _bounds(placement)
    yield from _timing(placement)


def _bounds(placement: Placement) -> Iterator[str]:
    uniform, least = placement.uniform_blocks, placement.lower_bound
    if uniform is not None and uniform != placement.blocks:
        of = f" of {wording.shape(*placement.uniform_shape)}" if placement.uniform_shape else ""
        yield f"{wording.plural(uniform, 'block')} with one shape for all{of}"
    if least is not None and least != placement.blocks:
        yield f"{wording.plural(least, 'block')} at the very least, by bits alone"


def _timing(placement: Placement) -> Iterator[str]:
    if (placement.chain or 1) > 1 and placement.tier != "registers":
        cut = f", each cut in {placement.split}" if (placement.split or 1) > 1 else ""
        yield f"{wording.plural(placement.chains or 1, 'chain')} of up to {placement.chain} blocks{cut}"
    if placement.read_latency is not None:
        more = placement.output_registers
        up_to = f", up to {placement.read_latency + more} with output registers" if more else ""
        yield f"data after {wording.plural(placement.read_latency, 'cycle')}{up_to}"


def _cuts(placement: Placement) -> Iterator[str]:
    if len({cut.shape for cut in placement.cuts}) < 2:
        return  # Like blocks side by side: the arithmetic has said it all.
    for cut in placement.cuts[:_MOST_CUTS]:
        yield _cut(cut)
    if len(placement.cuts) > _MOST_CUTS:
        yield f"and {len(placement.cuts) - _MOST_CUTS} more"


def _cut(cut: Cut) -> str:
    words = _from_to("word", cut.first_word, cut.words)
    bits = _from_to("bit", cut.first_bit, cut.bits)
    return f"{words}, {bits}: {wording.plural(cut.blocks, 'block')} of {wording.shape(*cut.shape)}"


def _from_to(what: str, first: int, many: int) -> str:
    return f"{what} {first:,}" if many == 1 else f"{what}s {first:,} to {first + many - 1:,}"


def _intent(view: MemoryView, sources: Mapping[str, SourceText]) -> Iterator[str]:
    """The clauses in force as they are written, one line for each statement of intent they come from."""
    said: dict[str, list[str]] = {}
    for bound in (*view.clauses, *view.accepts):
        said.setdefault(_origin(bound, sources), []).append(_written(bound.clause.span, sources))
    for origin, clauses in said.items():
        yield f"`{'; '.join(clauses)}` from {origin}"
    if len(said) > 1:
        yield "the outermost statement wins, clause by clause"


def _origin(bound: BoundClause, sources: Mapping[str, SourceText]) -> str:
    span = bound.bound.intent.span
    origin = bound.bound.origin
    match origin.split():
        case ["declaration"]:
            by = "its declaration"
        case ["instance", path]:
            by = f"instance `{path}`"
        case _:
            by = origin
    source = sources.get(span.file)
    if source is None or origin == span.file:
        return by
    return f"{by}, {span.file}:{source.position(span.start).line}"


def _written(span: Span, sources: Mapping[str, SourceText]) -> str:
    source = sources.get(span.file)
    if source is None:
        return "a clause"
    return " ".join(source.text[span.start : span.end].replace("`", "'").split())


def _placed(text: str, span: Span | None, sources: Mapping[str, SourceText]) -> str:
    source = sources.get(span.file) if span is not None else None
    if source is None or span is None:
        return text
    return f"{text} ({span.file}:{source.position(span.start).line})"
